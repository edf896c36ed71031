"""From a meter's reading to a time, and back to the speed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import QuantityError
from darkroom.exposure import meter

speeds, numbers, evs = st.floats(0.5, 200.0), st.floats(1.0, 22.0), st.floats(0.0, 16.0)


def test_the_formula_by_hand() -> None:
    """100·5.6²/(0.5·2^10) is 6.125 s."""
    planned = meter.metered(0.5, 5.6, 10.0)
    assert pytest.approx(planned.seconds) == 6.125
    assert [factor.what for factor in planned.factors] == ["stop", "ev", "speed"]


def test_light_lost_makes_it_longer() -> None:
    """One stop to a filter doubles the time, and stands among the factors."""
    planned = meter.metered(0.5, 5.6, 10.0, {"filter": 1.0})
    assert pytest.approx(planned.seconds) == 12.25
    assert (planned.factors[-1].what, planned.factors[-1].times) == ("filter", 2.0)


@given(speeds, numbers, evs, st.floats(0.0, 5.0))
def test_the_speed_comes_back(speed: float, f_number: float, ev: float, lost: float) -> None:
    """The time for a speed tells that speed."""
    seconds = meter.metered(speed, f_number, ev, {"other": lost}).seconds
    assert speed == pytest.approx(meter.speed_of(seconds, f_number, ev, lost))


@given(evs)
def test_lux_and_luminance_are_inverted(ev: float) -> None:
    """EV to lux or cd/m² and back is the same EV."""
    assert ev == pytest.approx(meter.ev_of_lux(meter.lux_of_ev(ev)), abs=1e-9)
    assert ev == pytest.approx(meter.ev_of_luminance(meter.luminance_of_ev(ev)), abs=1e-9)


def test_foot_candles_are_lumens_on_a_square_foot() -> None:
    """One is 10.764 lux."""
    assert pytest.approx(meter.LUX_OF_FOOT_CANDLE) == 10.763910417
    assert meter.ev_of_lux(10.763910417) == pytest.approx(meter.ev_of_foot_candles(1.0))


@pytest.mark.parametrize(
    ("call", "phrase"),
    [
        (lambda: meter.metered(0, 5.6, 10), "the speed is 0"),
        (lambda: meter.metered(1, 0, 10), "the f-number is 0"),
        (lambda: meter.metered(1, -8, 10), "the f-number is -8"),
        (lambda: meter.metered(1, 8, -60), "no time that can be exposed"),
        (lambda: meter.metered(1, 8, math.nan), "no time that can be exposed"),
        (lambda: meter.ev_of_lux(0), "the illuminance is 0"),
        (lambda: meter.ev_of_luminance(-1), "luminance is -1"),
        (lambda: meter.speed_of(0, 8, 10), "the time is 0"),
        (lambda: meter.time_value(0), "the time is 0"),
        (lambda: meter.ev_at_speed(10, 0), "the speed is 0"),
    ],
)
def test_what_cannot_be_is_refused(call, phrase: str) -> None:
    """No light, no speed, no stop: one clear sentence each."""
    with pytest.raises(QuantityError) as caught:
        call()
    assert phrase in str(caught.value)
