"""A journal that was cut after any of its lines: what began with the end of the stage before is written."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.fold import fold
from darkroom.log.journal.merge import read_plate
from darkroom.log.store import paths
from darkroom.process.model import ExposurePlan
from darkroom.screens.start import build
from tests.kit.bench import Hand
from tests.kit.odd_journals import AT, GOOD, write


def _whole_plate() -> list[ev.AnyEvent]:
    """Return the lines of a plate from the first strike to its end, one wall time for each cause."""
    hand = Hand(plan=ExposurePlan(seconds=3.0))
    hand.to_stage("wash")
    hand.go(1300.0)
    hand.do(5000.0, want.FromRack("p1"))
    hand.go(5001.0, 5030.0, 5090.0)
    assert hand.plate.phase == "ended"
    first, *rest = hand.lines["p1"]
    first = msgspec.structs.replace(first, plate=GOOD, bench=paths.bench_id())  # type: ignore[call-arg]
    return [first, *rest]


LINES = len(_whole_plate())


def _same_cause(line: ev.AnyEvent, other: ev.AnyEvent) -> bool:
    return (line.at, line.up) == (other.at, other.up)


@pytest.mark.parametrize("kept", range(1, LINES))
def test_what_the_last_cause_lacks_is_written_when_the_plate_comes_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kept: int
) -> None:
    """Cut after a stage's end, the start of the next, its racking or the plate's end follow as they were."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    lines = _whole_plate()
    boot = paths.boot_id()
    lines[0] = msgspec.structs.replace(lines[0], boot=boot)  # type: ignore[call-arg]
    cut = lines[:kept]
    rest = [line for line in lines[kept:] if _same_cause(line, cut[-1])]
    lost = rest if isinstance(cut[-1], ev.StageEnded | ev.StageStarted) and _ends_a_stage(cut) else []
    path = write(tmp_path / "home", GOOD, cut, day=AT[:10])
    services = build(tmp_path / "home")
    try:
        assert services.journal_writer.flush(20.0)
        state = services.session.bench.plates[GOOD]
    finally:
        services.close()
    after = list(read_plate(path).events)[kept:]
    assert after[: len(lost)] == lost
    assert [type(line) for line in after[len(lost) :]] == ([] if state.racked and not lost else [ev.Resumed])
    if not (state.racked and not lost):
        assert fold([*cut, *after]) == state


def _ends_a_stage(cut: list[ev.AnyEvent]) -> bool:
    """Return whether the last cause of these lines began with the end of a stage."""
    cause = [line for line in cut if _same_cause(line, cut[-1])]
    return any(isinstance(line, ev.StageEnded) for line in cause)
