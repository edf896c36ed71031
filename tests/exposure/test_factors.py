"""What changes an exposure: each factor in stops and as a multiplier, and what cannot be told."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from darkroom.errors import QuantityError
from darkroom.exposure import factors, light_kinds
from darkroom.process.scene import Scene

KNOWN = Scene(light="sun", kind="sun", ev=15.0, ev_from="meter", f_number=8.0, filter=1.0)
lengths = st.floats(1.0, 2000.0)


def test_a_known_plate_is_carried_to_another_stop() -> None:
    """From f/8 to f/16 is two stops, four times as long."""
    planned = factors.planned(3.0, KNOWN, replace(KNOWN, f_number=16.0))
    assert [(factor.what, factor.stops, factor.times) for factor in planned.factors] == [("stop", 2.0, 4.0)]
    assert (planned.base, planned.seconds, planned.stops) == (3.0, 12.0, 2.0)


def test_what_is_the_same_changes_nothing() -> None:
    """The same scene has the same time and no factor."""
    planned = factors.planned(3.0, KNOWN, KNOWN)
    assert (planned.seconds, planned.factors) == (3.0, ())


def test_less_light_is_longer_and_light_lost_adds() -> None:
    """Two stops less on the meter, a filter off, bellows on: each by itself, their sum in all."""
    planned = factors.planned(1.0, KNOWN, replace(KNOWN, ev=13.0, filter=None, bellows=0.5))
    assert {factor.what: factor.stops for factor in planned.factors} == {
        "ev": 2.0,
        "bellows": 0.5,
        "filter": -1.0,
    }
    assert pytest.approx(planned.seconds) == 2**1.5


def test_another_light_has_its_usual_brightness_and_its_colour() -> None:
    """Shade is darker by its EV, faster by its colour; the EV is said to be assumed."""
    shade = light_kinds.LIGHT_KINDS["shade"]
    sun = light_kinds.LIGHT_KINDS["sun"]
    planned = factors.planned(1.0, KNOWN, replace(KNOWN, light="shade", kind="shade", ev=None, ev_from=None))
    assert {"ev": 15.0 - (shade.usual_ev or 0), "light": sun.offset - shade.offset} == {
        factor.what: pytest.approx(factor.stops) for factor in planned.factors
    }
    assert "shade: EV 11.5 assumed" in planned.assumed[0]


def test_a_returning_light_without_ev_changes_nothing() -> None:
    """The same window at both plates: how bright it is need not be known."""
    window = Scene(light="north window", kind="window", f_number=5.6)
    assert factors.planned(8.0, window, replace(window, f_number=5.6)).seconds == 8.0


def test_a_reading_after_an_ev_from_the_sun_has_the_colour_of_its_light() -> None:
    """The table's EV is the plate's own, a meter's is the eye's: under the sun they differ by its offset."""
    sun = Scene(light="sun", kind="sun", ev=14.0, ev_from="sun")
    (factor,) = factors.planned(1.0, sun, replace(sun, ev_from="meter")).factors
    assert factor.stops == pytest.approx(-light_kinds.LIGHT_KINDS["sun"].offset)
    assert factor.how == "a meter against the sun's table"


def test_an_ev_from_the_sun_is_in_stops_of_the_plate() -> None:
    """Its table has the colour in it, so the kind of light adds none; to a meter's reading it does."""
    assert light_kinds.offset("sun", "sun") == light_kinds.offset(None, "meter") == 0.0
    assert light_kinds.offset("Sun", "meter") == light_kinds.LIGHT_KINDS["sun"].offset
    assert light_kinds.offset("shade", "light") == light_kinds.LIGHT_KINDS["shade"].offset


@pytest.mark.parametrize(
    ("known", "wanted", "phrase"),
    [
        (Scene(), Scene(f_number=8.0), "its f-number is not known"),
        (Scene(), Scene(ev=11.0), "the light it was made in has no EV"),
        (KNOWN, replace(KNOWN, light="red lamp", kind=None, ev=None), "the light (red lamp) has no EV"),
        (KNOWN, replace(KNOWN, light="flash", kind="flash", ev=None), "(flash) has no EV and no usual one"),
        (KNOWN, replace(KNOWN, f_number=0.0), "the f-number is 0"),
        (KNOWN, replace(KNOWN, other=60.0), "no time that can be exposed"),
    ],
)
def test_what_cannot_be_told_is_refused(known: Scene, wanted: Scene, phrase: str) -> None:
    """A change from or to something unknown is one clear sentence."""
    with pytest.raises(QuantityError) as caught:
        factors.planned(2.0, known, wanted)
    assert phrase in str(caught.value)


@pytest.mark.parametrize("seconds", [0.0, -1.0, math.nan, math.inf])
def test_a_time_that_is_none_is_refused(seconds: float) -> None:
    """Nothing is reckoned from no time."""
    with pytest.raises(QuantityError, match="no time to reckon from"):
        factors.product(seconds, [])


@given(st.lists(st.floats(-3, 3), max_size=8), st.floats(0.1, 100.0))
def test_the_time_is_the_product_of_its_factors(stops: list[float], base: float) -> None:
    """Multipliers multiplied and stops added give the same time."""
    planned = factors.product(base, [factors.more_stops(each) for each in stops])
    product = base * math.prod(factor.times for factor in planned.factors)
    assert product == pytest.approx(planned.seconds)
    assert base * 2**planned.stops == pytest.approx(planned.seconds)


@given(lengths, st.floats(0.0, 4.0))
def test_extension_and_magnification_are_one_thing(focal: float, magnification: float) -> None:
    """A lens drawn out by m focal lengths gives a picture of magnification m, and the same factor."""
    factor = factors.bellows_factor(focal, focal * (1 + magnification))
    if magnification > 0:
        assert factors.magnification_factor(magnification) == pytest.approx(factor)
    assert factor >= 1.0


@given(lengths, st.floats(1.01, 100.0))
def test_plate_and_subject_change_places(focal: float, times: float) -> None:
    """What is sharp at a draw has that draw for its own distance."""
    there = factors.sharp_at(focal, focal * times)
    assert there is not None
    assert focal * times == pytest.approx(factors.sharp_at(focal, there), rel=1e-6)


def test_at_the_focal_length_infinity_is_sharp() -> None:
    """Nothing drawn out: factor 1, and no distance."""
    assert factors.bellows_factor(300.0, 300.0) == 1.0
    assert factors.sharp_at(300.0, 300.0) is None


@pytest.mark.parametrize(
    ("call", "phrase"),
    [
        (lambda: factors.f_number(210, 0), "the diameter is 0"),
        (lambda: factors.f_number(-210, 30), "the focal length is -210"),
        (lambda: factors.f_number(210, 30, 0), "the front magnification is 0"),
        (lambda: factors.f_number(210, math.nan), "the diameter is nan"),
        (lambda: factors.bellows_factor(300, 200), "shorter than the focal length of 300 mm"),
        (lambda: factors.bellows_factor(300, math.inf), "the extension is inf"),
        (lambda: factors.magnification_factor(0), "the magnification is 0"),
        (lambda: factors.sharp_at(300, 200), "nearer than the focal length"),
        (lambda: factors.uniform_number(0), "the f-number is 0"),
        (lambda: factors.f_number_of_uniform(-1), "the number is -1"),
    ],
)
def test_lengths_that_cannot_be_are_refused(call, phrase: str) -> None:
    """Nought, negative and missing lengths are each one clear sentence."""
    with pytest.raises(QuantityError) as caught:
        call()
    assert phrase in str(caught.value)


def test_older_collodion_wants_longer() -> None:
    """A hundred days are 0.3 stop by what is believed before any plate; beyond 400 days nothing is added."""
    assert pytest.approx(factors.ageing(20, 120).stops) == 0.3
    assert factors.ageing(400, 4000).stops == 0.0
    assert pytest.approx(factors.ageing(120, 20).stops) == -0.3


def test_a_time_from_flash_to_flash_is_no_time() -> None:
    """From one flash to another the factors hold, and it is said that time is not what gives them."""
    lit = Scene(light="flash", kind="flash", f_number=8.0)
    stopped_down = factors.planned(2.0, lit, replace(lit, f_number=16.0))
    assert stopped_down.stops == pytest.approx(2.0)
    assert stopped_down.assumed == (
        "a flash gives its light at once: these stops are of its light, not of time",
    )
    assert factors.planned(2.0, KNOWN, KNOWN).assumed == ()
