"""The laws of time: exact inverses, the right direction, nothing infinite."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.process import timing
from darkroom.process.model import Process, Reference, Stage, Table, TimeLaw, Wash
from darkroom.process.washing import wash_seconds

CELSIUS = st.floats(-5, 45)
SECONDS = st.floats(0.1, 3600)


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Return a table of two to five rows, coldest first, a tenth of a degree apart or more."""
    degrees = sorted(draw(st.sets(st.integers(0, 400), min_size=2, max_size=5)))
    return tuple((tenth / 10, draw(SECONDS)) for tenth in degrees)


REFERENCES = st.builds(Reference, at=CELSIUS, is_=SECONDS, coefficient=st.floats(1, 5))
LAWS: st.SearchStrategy[TimeLaw] = st.one_of(SECONDS, REFERENCES, tables())
TRACES = st.lists(st.tuples(st.floats(-500, 5000), CELSIUS), min_size=1, max_size=8).map(sorted)


@given(LAWS, TRACES, st.floats(0, 1000))
def test_the_zero_is_where_the_work_is_done(
    law: TimeLaw, trace: list[tuple[float, float]], start: float
) -> None:
    """At the zero exactly the whole is done, whatever the temperature did before it."""
    zero = timing.zero_at(law, trace, start)
    assert math.isfinite(zero)
    assert zero >= start
    assert timing.done(law, trace, start, zero) == pytest.approx(1, rel=1e-6)


@given(LAWS, TRACES, st.floats(0, 1000), st.floats(0, 3000), st.floats(0, 3000))
def test_work_done_is_never_undone(
    law: TimeLaw, trace: list[tuple[float, float]], start: float, first: float, then: float
) -> None:
    """What is done grows with time, from nothing at the start."""
    early, late = sorted((start + first, start + then))
    assert timing.done(law, trace, start, start) == 0
    assert timing.done(law, trace, start, early) <= timing.done(law, trace, start, late)


@given(REFERENCES, CELSIUS, CELSIUS)
def test_warmer_is_never_slower(law: Reference, one: float, other: float) -> None:
    """With a temperature coefficient of one or more, warmer liquid takes no longer."""
    cold, warm = sorted((one, other))
    assert timing.seconds_at(law, warm) <= timing.seconds_at(law, cold) * (1 + 1e-12)


@given(tables())
def test_a_table_gives_its_own_points_and_the_geometric_middle(law: Table) -> None:
    """At its points a table gives its own times; half way between, the geometric mean of two."""
    for celsius, seconds in law:
        assert seconds == timing.seconds_at(law, celsius)
    (cold, slow), (warm, quick) = law[0], law[1]
    assert timing.seconds_at(law, (cold + warm) / 2) == pytest.approx(math.sqrt(slow * quick), rel=1e-9)


@given(tables())
def test_beyond_a_table_its_last_segment_goes_on(law: Table) -> None:
    """One segment further out, the time has changed by the same factor again, within its bounds."""

    def bounded(seconds: float) -> float:
        return min(timing.SLOWEST, max(timing.QUICKEST, seconds))

    (_, before), (warmest, last) = law[-2], law[-1]
    step = warmest - law[-2][0]
    assert timing.seconds_at(law, warmest + step) == pytest.approx(bounded(last * last / before), rel=1e-6)
    coldest, first = law[0]
    step = law[1][0] - coldest
    assert timing.seconds_at(law, coldest - step) == pytest.approx(
        bounded(first * first / law[1][1]), rel=1e-6
    )


def test_half_done_stays_half_done_when_the_bath_warms() -> None:
    """Half the time at 18 °C and half the time at 24 °C together make the whole."""
    law = Reference(at=20.0, is_=200.0, coefficient=2.0)
    cold, warm = timing.seconds_at(law, 18.0), timing.seconds_at(law, 24.0)
    trace = [(0.0, 18.0), (100.0 + cold / 2, 24.0)]
    assert timing.done(law, trace, 100.0, 100.0 + cold / 2) == pytest.approx(0.5)
    assert timing.zero_at(law, trace, 100.0) == pytest.approx(100.0 + cold / 2 + warm / 2)


def test_the_first_reading_covers_what_came_before_it() -> None:
    """A stage begun before any reading is timed with the first one from its start."""
    law = Reference(at=20.0, is_=100.0, coefficient=2.0)
    assert timing.zero_at(law, [(1000.0, 20.0)], 0.0) == pytest.approx(100.0)


@pytest.mark.parametrize("celsius", [-1e6, -273.15, 1e6])
def test_no_temperature_makes_a_time_infinite_or_nothing(celsius: float) -> None:
    """However absurd a reading is, the time stays a finite number above zero."""
    for law in (Reference(at=20.0, is_=15.0, coefficient=10.0), ((10.0, 1.0), (10.1, 3600.0))):
        assert 0 < timing.seconds_at(law, celsius) < math.inf


def test_an_empty_trace_is_refused() -> None:
    """Without any reading a law that depends on temperature cannot be told."""
    with pytest.raises(ValueError, match="at least one reading"):
        timing.zero_at(Reference(at=20.0, is_=15.0, coefficient=2.0), [], 0.0)


def _stage(name: str, **values: object) -> Stage:
    return Stage(**{"name": name, "light": "white", "ends": "by_eye", **values})  # type: ignore[arg-type]


def test_a_wash_is_never_shorter_than_the_fixer_before_it_asks() -> None:
    """A wash lasts 15 min after hypo and 5 min after cyanide at least: common practice, no source."""
    quick = Wash(carried=5.0, change=200.0, start=200.0, limit=1.0, lag=30.0)
    long = Wash(carried=5.0, change=200.0, start=200.0, limit=1.0, lag=1200.0)
    wash = _stage("wash", ends="on_time", wash=quick)
    for fixer, least in (("hypo", 900.0), ("cyanide", 300.0)):
        stages = (_stage("fix", holds=(fixer,)), _stage("rinse", holds=("water",)), wash)
        process = Process(name="p", stages=stages)
        assert least == timing.stage_seconds(process, 2, 20.0)
        assert least == timing.law_of(process, 2)
    slow = Process(
        name="p", stages=(_stage("fix", holds=("hypo",)), _stage("wash", ends="on_time", wash=long))
    )
    assert timing.stage_seconds(slow, 1, 20.0) == 2400.0
    again = Process(name="p", stages=(_stage("fix", holds=("hypo",)), wash, _stage("more", wash=quick)))
    assert timing.stage_seconds(again, 2, 20.0) == 60.0


def test_the_usual_range_changes_with_the_temperature() -> None:
    """A usual range is given as it stands, or read from its table as a time is."""
    assert timing.expected(_stage("fix", expect=(30.0, 120.0)), 5.0) == (30.0, 120.0)
    assert timing.expected(_stage("fix"), 5.0) is None
    coat = _stage("coat", expect=((10.0, (20.0, 40.0)), (30.0, (5.0, 10.0))))
    assert timing.expected(coat, 20.0) == pytest.approx((10.0, 20.0))
    assert timing.expected(coat, 30.0) == (5.0, 10.0)


def test_a_stage_without_a_time_has_no_law() -> None:
    """A stage that ends by eye has no seconds and no law."""
    process = Process(name="p", stages=(_stage("drain"),))
    assert timing.law_of(process, 0) is None
    assert timing.stage_seconds(process, 0, 20.0) is None


@pytest.mark.parametrize(("held", "least"), [("hypo", 900.0), ("cyanide", 300.0), ("acid", 0.0)])
def test_a_wash_lasts_at_least_as_long_as_what_was_before_it_needs(held: str, least: float) -> None:
    """After hypo a wash takes at least 15 min, after cyanide 5 min (common practice, no source)."""
    wash = Wash(start=10.0, limit=1.0, lag=1.0, carried=10.0, change=1000.0)
    stages = (
        Stage(name="fix", light="white", ends="by_eye", holds=(held,)),
        Stage(name="wash", light="white", ends="on_time", wash=wash),
        Stage(name="wash again", light="white", ends="on_time", wash=wash),
    )
    process = Process(name="trial", stages=stages)
    assert timing.least_wash(process, 1) == least
    assert timing.law_of(process, 1) == max(least, wash_seconds(wash))
    assert timing.least_wash(process, 2) == 0.0


@pytest.mark.parametrize(
    ("law", "text"),
    [
        (90.0, "1:30"),
        (((10.0, 270.0), (20.0, 210.0)), "4:30 at 10 °C, 3:30 at 20 °C"),
        (Reference(is_=15.0, at=20.0, coefficient=1.9), "0:15 at 20 °C, 1.9 times as long 10 °C colder"),
    ],
)
def test_a_law_of_time_is_said_in_words(law: TimeLaw, text: str) -> None:
    """A constant, a table and a time with its coefficient are each said in one line."""
    assert timing.law_text(law) == text
