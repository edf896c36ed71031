"""Silver bath, fixing and washing against the old handbooks and the dilution law's printed results."""

from __future__ import annotations

import pytest

from darkroom import resources
from darkroom.bench import clocks
from darkroom.bench import events as ev
from darkroom.bench.fold import fold
from darkroom.process import timing, washing
from darkroom.process.file.plain_form import to_plain
from darkroom.process.file.profile import parse
from darkroom.process.model import Process
from darkroom.process.text.durations import duration

PROCESSES = {path.stem: resources.read_process(path) for path in resources.shipped_processes()}


@pytest.mark.parametrize("stem", sorted(PROCESSES))
def test_the_summer_bath_takes_two_thirds_of_the_winter_bath(stem: str) -> None:
    """Summer time is two thirds of winter time: P. N. Hasluck (ed.), The Book of Photography (1905).

    The rooms' 12 °C in winter and 25 °C in summer are an assumption of this test.
    """
    process = PROCESSES[stem]
    at = process.index("sensitise")
    winter, summer = timing.stage_seconds(process, at, 12.0), timing.stage_seconds(process, at, 25.0)
    assert winter is not None
    assert summer is not None
    assert summer / winter == pytest.approx(2 / 3, abs=0.07)


@pytest.mark.parametrize("stem", sorted(PROCESSES))
def test_bath_times_lie_within_what_the_handbooks_give(stem: str) -> None:
    """Between 10 and 30 °C the bath takes 2 to 6 min (Hasluck), over 2 min below 15.6 °C (R. Hunt, 1850s)."""
    process = PROCESSES[stem]
    at = process.index("sensitise")
    for celsius in range(10, 31):
        seconds = timing.stage_seconds(process, at, float(celsius))
        assert seconds is not None
        assert 120 <= seconds <= 360
    assert process.stages[at].limits is not None
    assert process.stages[at].limits[0] == pytest.approx(
        10.0, abs=0.5
    )  # "below 50 °F" warm the bath: R. Hunt


def whole_time(process: Process, stage: str, seen: float) -> float:
    """Return the whole seconds the bench gives a stage that was struck `seen` seconds after its start."""
    stamp = "2026-03-01T12:00:00.000+00:00"
    began = ev.PlateStarted(
        n=1,
        at=stamp,
        up=0.0,
        plate="p",
        number=1,
        schema=1,
        version="0",
        bench="b",
        boot="b",
        process=to_plain(process),
    )
    started = ev.StageStarted(n=2, at=stamp, up=100.0, stage=stage, planned=None, celsius=20.0)
    cleared = ev.Cleared(n=3, at=stamp, up=100.0 + seen, stage=stage, seconds=seen)
    zero = clocks.zero(fold([began, started, cleared]))
    assert zero is not None
    return zero - 100.0


@pytest.mark.parametrize("stem", ["clear-glass", "black-glass", "tintype", "negative"])
@pytest.mark.parametrize("seen", [20.0, 45.0, 90.0])
def test_hypo_fixes_for_twice_the_time_of_clearing(stem: str, seen: float) -> None:
    """A plate stays in hypo twice as long as it took to clear.

    P. N. Hasluck (ed.), The Book of Photography (1905), "The fixing solution"; F. M. Steadman, Unit
    Photography (1914); Wellington photographic handbook, p. 29 ("for as long again").
    """
    assert whole_time(PROCESSES[stem], "fix", seen) == pytest.approx(2 * seen)


# The factorial method multiplies the time in which the image appears: a `cleared` stage with a factor.
@pytest.mark.parametrize(
    ("appearance", "factor", "total"),
    [
        ("30 s", 10, "5 min"),  # Wellington photographic handbook, p. 26
        ("9 s", 15, "135 s"),  # Cassell's Cyclopaedia of Photography (1911), metol-hydroquinone
        ("45 s", 5, "3 3/4 min"),  # Dictionary of Photography (c. 1902), quoting Watkins 1901
        ("15 s", 7, "105 s"),  # Modern Photography: Theory and Practice
    ],
)
def test_factorial_examples_of_the_handbooks(appearance: str, factor: int, total: str) -> None:
    """The bench gives the printed totals for the printed times of appearance and factors."""
    text = f"""
name: Factorial
sensitive: never
stages:
  - {{name: bath, light: red, ends: cleared, clearing_factor: {factor}}}
"""
    process = parse(text, "factorial.yaml")
    assert whole_time(process, "bath", duration(appearance)) == pytest.approx(duration(total))


def test_washing_examples_of_the_dilution_law() -> None:
    """Batches and flows leave what the law's worked numbers say (physics, computed by hand)."""
    assert washing.residue_after_changes(200, 5, 200, 1) == pytest.approx(4.87805, rel=1e-6)
    assert washing.residue_after_changes(200, 5, 200, 3) == pytest.approx(0.00290187, rel=1e-5)
    assert washing.residue_after_changes(150, 2, 100, 2) == pytest.approx(0.0576701, rel=1e-5)
    assert washing.residue_after_flow(5, 2000 / 60, 4000, 120) == pytest.approx(1.83940, rel=1e-5)
    assert washing.residue_after_flow(5, 1000 / 60, 10000, 1800) == pytest.approx(0.248935, rel=1e-5)


def test_three_small_changes_beat_one_large_one() -> None:
    """The same water in three changes leaves a thousandth of what one change leaves, nearly."""
    three = washing.residue_after_changes(1, 5, 200, 3)
    one = washing.residue_after_changes(1, 5, 600, 1)
    assert three == pytest.approx(1.45e-5, rel=0.01)
    assert one == pytest.approx(8.26e-3, rel=0.01)


def test_the_inverse_finds_the_worked_examples() -> None:
    """Asked for what the worked examples leave, the inverse gives back their changes and minutes."""
    assert washing.changes_needed(200, 0.00290188, 5, 200) == 3
    assert washing.changes_needed(200, 0.0029018, 5, 200) == 4
    assert washing.flow_seconds(5, 1.83940, 2000 / 60, 4000) == pytest.approx(120, rel=1e-4)
    assert washing.flow_seconds(5, 0.248935, 1000 / 60, 10000) == pytest.approx(1800, rel=1e-4)


def test_a_shipped_wash_meets_the_limit_published_for_film() -> None:
    """After the shipped hypo wash less than 1.4 µg of thiosulphate is left on a cm²: ISO 18917 as applied to
    archival microfilm (gelatine); a whole plate of 6 1/2 by 8 1/2 in carrying what the file says."""
    process = PROCESSES["clear-glass"]
    wash = process.stage("wash").wash
    assert wash is not None
    assert wash.carried is not None
    assert wash.change is not None
    changes = washing.wash_changes(wash)
    assert changes is not None
    crystals = washing.residue_after_changes(wash.start, wash.carried, wash.change, changes)  # g/L
    thiosulphate = crystals * 112.13 / 248.18  # molar masses of the ion and the pentahydrate, from memory
    plate = 6.5 * 8.5 * 2.54**2
    assert thiosulphate * wash.carried / 1000 * 1e6 / plate <= 1.4
