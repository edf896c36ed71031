"""Which known name a mistyped one is near."""

from __future__ import annotations

import pytest

from darkroom.exposure.near_names import near_name

KNOWN = ("north window", "brass 210", "garden", "shade", "lens C 300", "no. 2", None, "")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("north windw", "north window"),
        ("North  Windwo", "north window"),
        ("brass 21", "brass 210"),
        ("gardn", "garden"),
        ("gaarden", "garden"),
        ("fardne", None),
        ("shaed", "shade"),
        ("Lens C 3o0", "lens C 300"),
    ],
)
def test_a_mistyped_name_has_its_near_one(typed: str, meant: str | None) -> None:
    """One sign missing, too many, another or changed places leads to the known name; two do not."""
    assert near_name(typed, KNOWN) == meant


@pytest.mark.parametrize(
    "typed",
    [
        "north window",
        "NORTH  window",
        "",
        None,
        "south window",
        "brass 240",
        "mill",
        "lens D 300",
        "no. 3",
        "n",
    ],
)
def test_a_known_or_another_name_has_none(typed: str | None) -> None:
    """A name that is known, another window, another focal length and an empty text have no near name."""
    assert near_name(typed, KNOWN) is None


def test_where_nothing_is_known_nothing_is_near() -> None:
    """Without names there is no near one."""
    assert near_name("garden", ()) is None
