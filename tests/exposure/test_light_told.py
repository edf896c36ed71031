"""How bright a light is by its name: one rule for the form, the page and the commands."""

from __future__ import annotations

import pytest

from darkroom.exposure import daylight
from darkroom.exposure.kit import Kit, NamedLight
from darkroom.exposure.light_told import LightTold, light_told

KIT = Kit(
    lights=(
        NamedLight(name="north window", kind="window", ev=9.5),
        NamedLight(name="skylight", kind="window"),
    )
)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("window", LightTold("window", 9.0, "light")),
        ("North Window", LightTold("window", 9.5, "light")),
        ("skylight", LightTold("window")),
        ("east window", LightTold("window")),
        ("flash", LightTold("flash")),
        ("attic", LightTold()),
        ("", LightTold()),
        (None, LightTold()),
    ],
)
def test_without_a_place(name: str | None, told: LightTold) -> None:
    """The kit's EV, else that of a plain kind; a name of its own without one is left to its plates."""
    assert light_told(KIT, name) == told


def test_at_a_place_daylight_follows_the_sun() -> None:
    """Plain kinds and lights of known EV follow the sun; a name that its plates teach keeps its own level."""
    for name, kind, usual in (
        ("shade", "shade", None),
        ("north window", "window", 9.5),
        ("full sun", "sun", None),
    ):
        expected = daylight.expected_ev(kind, 25.0, None, "clear", usual)
        assert expected is not None
        assert light_told(KIT, name, altitude=25.0, sky="clear") == LightTold(
            kind, expected.ev, expected.ev_from
        )
    assert light_told(KIT, "skylight", altitude=25.0) == LightTold("window")
    assert light_told(KIT, "sun", altitude=-5.0) == LightTold("sun")
