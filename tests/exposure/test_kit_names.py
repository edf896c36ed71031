"""A thing of the kit is found by its name, however it is typed."""

from __future__ import annotations

import pytest

from darkroom.exposure.kit import Kit, Lens, NamedLight

KIT = Kit(
    lenses=(Lens(name="Brass portrait lens", focal=210.0),),
    lights=(NamedLight(name="north window", kind="window", ev=9.0),),
)


@pytest.mark.parametrize("typed", ["Brass portrait lens", "brass  PORTRAIT lens ", " brass portrait lens"])
def test_a_name_is_found_in_any_case(typed: str) -> None:
    """Case and spaces do not count."""
    lens = KIT.lens(typed)
    assert lens is not None and lens.focal == 210.0


@pytest.mark.parametrize("typed", ["", None, "brass", "south window"])
def test_a_word_that_names_nothing_is_just_a_word(typed: str | None) -> None:
    """Nothing is found, and nothing is guessed."""
    assert (KIT.lens(typed), KIT.light(typed), KIT.camera(typed)) == (None, None, None)
    assert (KIT.place(typed), KIT.plate(typed)) == (None, None)
