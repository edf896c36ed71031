"""The curve of daylight against the sun's altitude, and who faces it."""

from __future__ import annotations

from itertools import pairwise

import pytest
from scipy.interpolate import PchipInterpolator

from darkroom.errors import WrongUse
from darkroom.exposure import actinic
from darkroom.exposure.actinic_table import ROWS
from darkroom.process.scene import RECEIVERS


# Stops at whole altitudes: flat ground, flat in shade, upright facing the sun, upright turned away (computed
# with pvlib 0.16.1 in another run than the table).
@pytest.mark.parametrize(
    ("altitude", "told"),
    [
        (5, (4.20, 4.25, 4.03, 5.00)), (10, (3.06, 3.37, 2.07, 4.16)), (20, (1.75, 2.64, 0.77, 3.52)),
        (30, (1.01, 2.29, 0.39, 3.20)), (40, (0.54, 2.09, 0.30, 2.98)), (50, (0.22, 1.95, 0.38, 2.81)),
        (60, (0.00, 1.86, 0.58, 2.69)), (80, (-0.22, 1.77, 1.49, 2.56)),
    ],
)  # fmt: skip
def test_stops_at_whole_altitudes(altitude: float, told: tuple[float, ...]) -> None:
    """Each receiver has the stops of the table at its altitudes, and shade takes the sun's own light away."""
    found = (
        actinic.stops(altitude, "flat"),
        actinic.stops(altitude, "flat", shade=True),
        actinic.stops(altitude, "facing"),
        actinic.stops(altitude, "away"),
    )
    assert found == pytest.approx(told, abs=0.006)


def test_the_table_ends_at_two_degrees() -> None:
    """At 2° there is an answer for everybody, below it for nobody, nor for an altitude that is no number."""
    for receiver in RECEIVERS:
        assert actinic.stops(2.0, receiver) is not None
        for altitude in (1.999, 0.0, -30.0, float("nan"), float("-inf")):
            assert actinic.stops(altitude, receiver) is None
    assert actinic.stops(2.0, "flat") == pytest.approx(5.6, abs=0.01)


def test_the_zenith_is_the_end() -> None:
    """At 90° facing the sun and turned away from it are the same for what stands upright."""
    assert actinic.stops(90, "facing") == actinic.stops(90, "away")
    assert actinic.stops(90, "flat") == pytest.approx(-0.25, abs=0.005)
    assert actinic.stops(90.0001, "flat") == actinic.stops(90, "flat")


def test_the_whole_scene_is_half_flat_and_half_turned_away() -> None:
    """The whole scene's light is the mean of flat ground's and of what is turned away, in sun and shade."""
    for altitude in (3.0, 25.0, 70.0):
        for shade in (False, True):
            lights = [
                2 ** -(actinic.stops(altitude, receiver, shade=shade) or 0) for receiver in ("flat", "away")
            ]
            scene = actinic.stops(altitude, "scene", shade=shade)
            assert scene is not None
            assert 2**-scene == pytest.approx(sum(lights) / 2)
            assert scene == actinic.stops(altitude, shade=shade)


def test_in_shade_nobody_faces_the_sun() -> None:
    """In shade what stands upright has the same light whichever way it is turned, and none has more."""
    for altitude in (2.0, 8.0, 33.0, 90.0):
        assert actinic.stops(altitude, "facing", shade=True) == actinic.stops(altitude, "away")
        for receiver in RECEIVERS:
            shaded, bright = actinic.stops(altitude, receiver, shade=True), actinic.stops(altitude, receiver)
            assert shaded is not None
            assert bright is not None
            assert shaded >= bright - 1e-9


def test_a_higher_sun_gives_more_light() -> None:
    """Flat ground, the whole scene, shade and a side turned away gain with every step of the sun."""
    altitudes = [2 + step * 0.25 for step in range(353)]
    for receiver, shade in (
        ("flat", False),
        ("flat", True),
        ("scene", False),
        ("scene", True),
        ("away", False),
    ):
        stops = [actinic.stops(altitude, receiver, shade=shade) or 0 for altitude in altitudes]
        assert all(after < before for before, after in pairwise(stops))


def test_a_sitter_who_faces_the_sun_loses_little_of_it() -> None:
    """From 60° to 20° flat ground loses 1.75 stops, an upright sitter who faces the sun a fifth of a stop."""
    losses = [
        (actinic.stops(20, receiver) or 0) - (actinic.stops(60, receiver) or 0)
        for receiver in ("flat", "facing")
    ]
    assert losses == pytest.approx([1.75, 0.19], abs=0.01)


def test_the_curve_is_the_monotone_cubic() -> None:
    """Between the rows the curve is scipy's monotone cubic in the logarithm of the altitude."""
    from math import log

    for column, receiver, shade in (
        (1, "flat", False),
        (2, "flat", True),
        (3, "facing", False),
        (4, "away", False),
    ):
        theirs = PchipInterpolator([log(row[0]) for row in ROWS], [row[column] for row in ROWS])
        for step in range(177):
            altitude = 2 + step / 2
            ours = actinic.stops(altitude, receiver, shade=shade)
            assert ours == pytest.approx(float(theirs(log(altitude))), abs=1e-9)


@pytest.mark.parametrize(
    ("word", "said"), [("facin", "did you mean 'facing'"), ("", "there are scene, flat")]
)
def test_an_unknown_receiver_is_refused(word: str, said: str) -> None:
    """A word that names no receiver is refused with the nearest right word, or with all of them."""
    with pytest.raises(WrongUse, match=said):
        actinic.stops(30, word)
