"""How long a plate stays wet: the right direction, capped, never lengthened."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.process import wetness
from darkroom.process.model import WetWindow

WINDOW = WetWindow(
    from_="sensitise", to="develop", time=600.0, temperature=20.0, humidity=50.0, longest=1200.0
)
CELSIUS = st.floats(0, 45)
PERCENT = st.floats(0, 100)
TRACES = st.lists(st.tuples(st.floats(-500, 2000), CELSIUS, PERCENT), min_size=1, max_size=8).map(sorted)


def test_the_known_case_gives_the_known_time() -> None:
    """In the air the window was written for, a plate stays wet as long as the window says."""
    assert wetness.window_seconds(WINDOW, 20.0, 50.0) == pytest.approx(600.0)


@given(CELSIUS, CELSIUS, PERCENT)
def test_hotter_air_of_the_same_humidity_dries_no_slower(one: float, other: float, percent: float) -> None:
    """At the same relative humidity a hotter room never keeps a plate wet for longer."""
    cold, hot = sorted((one, other))
    assert (
        wetness.window_seconds(WINDOW, hot, percent) <= wetness.window_seconds(WINDOW, cold, percent) + 1e-9
    )


@given(CELSIUS, PERCENT, PERCENT)
def test_damper_air_dries_no_quicker(celsius: float, one: float, other: float) -> None:
    """At the same temperature damper air never dries a plate sooner."""
    dry, damp = sorted((one, other))
    assert (
        wetness.window_seconds(WINDOW, celsius, dry) <= wetness.window_seconds(WINDOW, celsius, damp) + 1e-9
    )


@given(CELSIUS, st.floats(-50, 200))
def test_no_air_keeps_a_plate_wet_beyond_the_longest(celsius: float, percent: float) -> None:
    """Saturated, cold or absurdly damp air gives the longest time and no more."""
    assert 0 < wetness.window_seconds(WINDOW, celsius, percent) <= WINDOW.longest * (1 + 1e-12)
    assert wetness.window_seconds(WINDOW, celsius, 100.0) == WINDOW.longest


@given(TRACES, st.floats(0, 1000))
def test_the_end_is_where_all_of_the_wet_time_is_used(
    trace: list[tuple[float, float, float]], start: float
) -> None:
    """The instant at which a plate is past wet and the share of the time used agree, within the longest."""
    end = wetness.dry_at(WINDOW, trace, start)
    assert start < end <= start + WINDOW.longest + 1e-6
    assert wetness.dried(WINDOW, trace, start, end) == pytest.approx(1)
    assert wetness.dried(WINDOW, trace, start, start) == 0


@given(TRACES, st.floats(0, 500), st.tuples(CELSIUS, PERCENT))
def test_a_later_reading_never_lengthens(
    trace: list[tuple[float, float, float]], start: float, air: tuple[float, float]
) -> None:
    """A reading that comes while the plate dries may bring its end nearer, never push it away."""
    end = wetness.dry_at(WINDOW, trace, start)
    for instant in (start + 1, (start + end) / 2, end - 1e-3):
        known = [reading for reading in trace if reading[0] <= instant] or trace[:1]
        before = wetness.dry_at(WINDOW, known, start)
        after = wetness.dry_at(WINDOW, [*known, (max(instant, known[-1][0] + 0.001), *air)], start)
        assert after <= before + 1e-6


def test_drier_air_while_the_plate_dries_brings_the_end_nearer() -> None:
    """Half of ten minutes at 50 %, then air twice as thirsty: two and a half minutes are left."""
    trace = [(0.0, 20.0, 50.0), (300.0, 20.0, 0.0)]
    assert wetness.dry_at(WINDOW, trace, 0.0) == pytest.approx(450.0)
    assert wetness.dry_at(WINDOW, [(0.0, 20.0, 50.0), (300.0, 20.0, 90.0)], 0.0) == pytest.approx(600.0)


def test_of_two_readings_at_one_instant_the_last_counts() -> None:
    """Temperature and humidity read at the same instant are one change of the air, not two."""
    trace = [(0.0, 20.0, 50.0), (300.0, 20.0, 0.0), (300.0, 20.0, 50.0)]
    assert wetness.dry_at(WINDOW, trace, 0.0) == pytest.approx(600.0)


def test_a_typed_time_wins() -> None:
    """What the photographer typed counts from the start, whatever the air says, even beyond the longest."""
    trace = [(0.0, 40.0, 10.0)]
    assert wetness.dry_at(WINDOW, trace, 50.0, 1800.0) == 1850.0
    assert wetness.dried(WINDOW, trace, 50.0, 950.0, 1800.0) == pytest.approx(0.5)


def test_nothing_is_infinite_in_saturated_air() -> None:
    """In air that takes nothing the plate is past wet after the longest time, not never."""
    assert wetness.dry_at(WINDOW, [(0.0, 10.0, 100.0)], 0.0) == pytest.approx(1200.0)
    assert math.isfinite(wetness.deficit(-30.0, 100.0))
