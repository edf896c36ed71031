"""The way back from the camera is the median of this bench's own plates, and stands in the journal."""

from __future__ import annotations

import statistics
import threading
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from darkroom.bench import all_plates, clocks, decide_all
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, Bench
from darkroom.bench.carrying import Carrying, median_of, way_back
from darkroom.bench.fold import begin, fold
from darkroom.bench.intents import Cause
from darkroom.log.journal import frame
from darkroom.log.plate.carrying import ways_back
from darkroom.screens.known_carrying import CarryingReader
from tests.kit.bench import start
from tests.kit.journals import BENCH, at, plate_events
from tests.kit.plate_files import put


def plate(way: float, **more: Any) -> list[ev.AnyEvent]:
    """Return a plate with so many seconds from the cap on to the developer's lead-in."""
    lines = plate_events(**more)
    carried = way - 10.0
    return [
        replace(line, up=line.up + carried, at=at(line.up + carried))
        if line.up is not None and line.up >= 280.0
        else line
        for line in lines
    ]


def made(home: Path, ways: list[float], **more: Any) -> None:
    """Put plates with these ways into a log."""
    for number, way in enumerate(ways, len(list(home.rglob("*.jsonl"))) + 1):
        name = f"20260314-09{number:02}00-sma4l{'abcdefghijklmnopqrstuvwxyz'[number]}"
        data = b"".join(map(frame.encode, plate(way, plate=name, number=number, **more)))
        put(home, data, plate=name)


def test_the_way_back_is_from_the_cap_to_the_lead_in() -> None:
    """The stages between do not matter, nor a cap on that was taken back, nor how long the lead-in was."""
    assert way_back(fold(plate(10.0))) == pytest.approx(10.0)
    assert way_back(fold(plate(42.0))) == pytest.approx(42.0)


@pytest.mark.parametrize("end", [{"how": "told"}, {"unseen": True, "exposed": None}])
def test_an_end_nobody_saw_does_not_count(end: dict[str, Any]) -> None:
    """What was told on coming back, and an exposure whose end was not seen, are no instants."""
    lines = [
        replace(line, **end) if isinstance(line, ev.StageEnded) and line.stage == "expose" else line
        for line in plate(42.0)
    ]
    assert way_back(fold(lines)) is None


def test_a_plate_that_never_came_to_the_developer_has_no_way_back() -> None:
    """Before the developer's lead-in nothing is known."""
    assert way_back(fold([line for line in plate(42.0) if line.n < 17])) is None


@pytest.mark.parametrize("ways", [[31, 44, 90], [31, 44, 46, 90], [20.0, 61.0, 33.0, 40.4, 52.0]])
def test_the_log_gives_the_median(tmp_path: Path, ways: list[float]) -> None:
    """Three plates or more give their median, in whole seconds; the standard library says which it is."""
    made(tmp_path, ways)
    expected = Carrying(float(round(statistics.median(ways))), len(ways))
    assert ways_back(tmp_path, BENCH) == {"here": expected}
    assert expected.origin == f"median of {len(ways)} plates"


def test_two_plates_are_too_few(tmp_path: Path) -> None:
    """Below three nothing is known, and what is assumed stays."""
    made(tmp_path, [31.0, 44.0])
    assert ways_back(tmp_path, BENCH) == {}
    assert median_of([]) is None


def test_only_real_plates_of_this_bench_timed_alike_count(tmp_path: Path) -> None:
    """Rehearsals, plates of another bench and those timed otherwise stay out."""
    made(tmp_path, [40.0, 40.0, 40.0])
    made(tmp_path, [90.0, 90.0, 90.0], rehearsal=True)
    made(tmp_path, [91.0, 91.0, 91.0], bench="another")
    made(tmp_path, [70.0, 71.0, 72.0], timed="away")
    assert ways_back(tmp_path, BENCH) == {"here": Carrying(40.0, 3), "away": Carrying(71.0, 3)}
    assert ways_back(tmp_path, BENCH, newest=3) == {"away": Carrying(71.0, 3)}


def test_a_journal_that_tells_nothing_is_passed_over(tmp_path: Path) -> None:
    """A broken file among the plates changes nothing."""
    made(tmp_path, [40.0, 41.0, 42.0])
    put(tmp_path, b"no journal\n", plate="20260314-095900-sma4lz")
    assert ways_back(tmp_path, BENCH)["here"].seconds == 41.0


def known(tmp_path: Path) -> CarryingReader:
    """Return a reader that has read a log with a median of 42 s."""
    made(tmp_path, [40.0, 42.0, 43.0])
    reader = CarryingReader(tmp_path, BENCH)
    read = threading.Event()
    reader.ask(lambda action: action(), read.set)
    assert read.wait(20.0)
    return reader


def test_the_median_stands_in_the_journal(tmp_path: Path) -> None:
    """A plate with nothing typed gets the median with where it is from; its journal alone says it again."""
    reader = known(tmp_path)
    bench = all_plates.with_new(Bench(), start(), 0.0)
    bench = reader.on_bench(bench)
    decision = decide_all.decide_intent(bench, want.Go(plate="p", number=1), Cause(at=at(1), up=1.0))
    ((_, lines),) = decision.events
    written = b"".join(map(frame.encode, lines))
    assert b'"carry":42.0,"carry_from":"median of 3 plates"' in written
    assert clocks.carry(fold(lines)) == 42.0
    assert clocks.carry(bench.plates[NEW]) == 42.0


def test_what_was_typed_wins(tmp_path: Path) -> None:
    """A typed way back stays, and says nothing of a median."""
    first = known(tmp_path).with_carry(start(carry=15.0))
    assert (first.carry, first.carry_from) == (15.0, None)
    assert clocks.carry(begin(first, 0.0)) == 15.0


def test_before_the_log_was_read_the_assumption_holds(tmp_path: Path) -> None:
    """Nothing waits for the log: away a minute is assumed, beside the keys nothing."""
    reader = CarryingReader(tmp_path, BENCH)
    for timed, seconds in (("away", 60.0), ("here", 0.0)):
        first = reader.with_carry(start(timed=timed))
        assert (first.carry, first.carry_from) == (None, None)
        assert clocks.carry(begin(first, 0.0)) == seconds
    assert reader.on_bench(Bench()) == Bench()
