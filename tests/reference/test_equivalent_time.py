"""The integral over a changing temperature, against another trade's published equivalent times.

Heat sterilisation adds up "equivalent minutes at 121.1 °C" (250 °F) with a tenfold change for 10 °C: the same
integral as ours, with a coefficient of 10.
"""

from __future__ import annotations

import pytest

from darkroom.process import timing
from darkroom.process.model import Reference

# Equivalent minutes at 250 °F of one minute at each temperature, after Reichert (1977) as reprinted in a
# maker's manual of laboratory autoclaves; two evident misprints (116 °C and 127 °C, off the row by over 1 %)
# are left out.
LETHAL_RATES = {
    100: 0.007, 101: 0.009, 102: 0.012, 103: 0.015, 104: 0.019, 105: 0.024, 106: 0.030, 107: 0.038,
    108: 0.048, 109: 0.061, 110: 0.077, 111: 0.097, 112: 0.122, 113: 0.154, 114: 0.194, 115: 0.244,
    117: 0.388, 118: 0.488, 119: 0.615, 120: 0.774, 121: 0.974, 122: 1.227, 123: 1.544, 124: 1.944,
    125: 2.448, 126: 3.082, 128: 4.885, 129: 6.150, 130: 7.745,
}  # fmt: skip
BOILER = (250 - 32) / 1.8
"""250 °F in °C."""


@pytest.mark.parametrize("minutes_each", [1, 3])
def test_a_rising_and_falling_temperature_adds_up_as_the_printed_rates_do(minutes_each: int) -> None:
    """The work done over a run of printed temperatures is the sum of their printed equivalent minutes."""
    run = [*LETHAL_RATES, *reversed(LETHAL_RATES)]
    step = 60.0 * minutes_each
    trace = [(index * step, float(celsius)) for index, celsius in enumerate(run)]
    printed = sum(LETHAL_RATES[celsius] for celsius in run) * minutes_each
    one_minute = Reference(at=BOILER, is_=60.0, coefficient=10.0)
    assert timing.done(one_minute, trace, 0.0, len(run) * step) == pytest.approx(printed, rel=0.002)


def test_the_zero_of_a_heating_run_is_where_its_printed_rates_add_up() -> None:
    """Heated a degree a minute, the work of all printed rates together is done when the last minute ends."""
    trace = [(60.0 * index, float(celsius)) for index, celsius in enumerate(LETHAL_RATES)]
    whole = Reference(at=BOILER, is_=60.0 * sum(LETHAL_RATES.values()), coefficient=10.0)
    assert timing.zero_at(whole, trace, 0.0) == pytest.approx(60.0 * len(LETHAL_RATES), rel=0.002)


def test_heating_up_only_adds_up_too() -> None:
    """The slow part of a run, heated from 100 to 121 °C, adds up to its printed sum."""
    run = [celsius for celsius in LETHAL_RATES if celsius <= 121]
    trace = [(60.0 * index, float(celsius)) for index, celsius in enumerate(run)]
    printed = sum(LETHAL_RATES[celsius] for celsius in run)
    law = Reference(at=BOILER, is_=60.0, coefficient=10.0)
    assert timing.done(law, trace, 0.0, 60.0 * len(run)) == pytest.approx(printed, rel=0.01)


def test_fifteen_minutes_ten_degrees_colder_are_a_minute_and_a_half() -> None:
    """The textbook example: 15 min at 111 °C are worth 1.5 min at 121 °C, at 124 °C about 30 min."""
    minute = Reference(at=121.0, is_=60.0, coefficient=10.0)
    assert timing.done(minute, [(0.0, 111.0)], 0.0, 900.0) == pytest.approx(1.5)
    assert timing.done(minute, [(0.0, 121.0)], 0.0, 900.0) == pytest.approx(15.0)
    assert timing.done(minute, [(0.0, 124.0)], 0.0, 900.0) == pytest.approx(15 * 1.995, rel=1e-3)
