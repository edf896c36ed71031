"""A journal that tells what its process does not have never keeps the tool from opening."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.fold import fold
from darkroom.bench.state import PlateState
from darkroom.bench.view import bench_view
from darkroom.log.journal import append, frame, rack
from darkroom.log.journal.merge import read_plate
from darkroom.log.store import paths
from darkroom.resources import load_process
from darkroom.screens import coming_back
from darkroom.screens.app import Tool
from darkroom.screens.start import build
from darkroom.session.plate_form import PlateForm
from tests.kit.bench import PROCESS, Hand
from tests.kit.review_hand import Looker, looking

BOOT = "a start of the machine"


def _left_behind(home: Path, without: str) -> str:
    """Write the journal of a plate in the fixer whose process, as written, lacks a stage; return its id."""
    hand = Hand()
    hand.to_stage("fix")
    plate, state = next((key, state) for key, state in hand.bench.plates.items() if key)
    plate = "20260301-090000-aaaaaa"
    stages = [stage for stage in PROCESS["stages"] if stage["name"] != without]
    first, *rest = state.lines
    now = datetime.now(UTC).astimezone()
    changed: dict[str, Any] = {
        "process": {**PROCESS, "stages": stages},
        "bench": paths.bench_id(),
        "plate": plate,
        "at": now.isoformat(timespec="milliseconds"),
    }
    path = paths.plate_path(home, plate, now.date().isoformat())
    path.parent.mkdir(parents=True)
    events = [msgspec.structs.replace(first, **changed), *rest]
    path.write_bytes(b"".join(map(frame.encode, events)))  # type: ignore[arg-type]
    return plate


@pytest.mark.parametrize("without", ["coat", "drain", "fix", "sensitise"])
def test_it_stays_in_the_log_and_is_told_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, without: str
) -> None:
    """The tool opens, the bench can be drawn without that plate, and the quiet line names it."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    plate = _left_behind(tmp_path / "home", without)
    services = build(tmp_path / "home")
    try:
        assert services.notices.text is not None and plate in services.notices.text
        assert not services.session.bench.on_bench
        bench_view(services.session.bench, services.session.now())
        assert list((tmp_path / "home").glob(f"plates/*/*/{plate}.jsonl"))
    finally:
        services.close()


def test_plates_that_came_back_are_told_of_after_the_question(
    home: Path,
) -> None:
    """With a question about cyanide due, "1 plate came back" stands on the bench once it is answered."""
    hand = Hand()
    hand.to_stage("fix")
    first, *rest = hand.lines["p1"]
    now = datetime.now(UTC).astimezone()
    plate = "20260301-090000-aaaaaa"
    changed: dict[str, Any] = {
        "bench": paths.bench_id(), "plate": plate, "at": now.isoformat(timespec="milliseconds"),
    }  # fmt: skip
    path = paths.plate_path(home, plate, now.date().isoformat())
    path.parent.mkdir(parents=True)
    path.write_bytes(b"".join(map(frame.encode, [msgspec.structs.replace(first, **changed), *rest])))  # type: ignore[arg-type]

    def begin(tool: Tool) -> None:
        tool.services.devices = None
        tool.services.opening.filter = None
        tool.services.opening.plate = (PlateForm(process="tintype-cyanide"), load_process("tintype-cyanide"))

    async def steps(looker: Looker) -> None:
        await looker.wait("yanide")
        await looker.pilot.pause(0.3)
        assert looker.tool.session.answer is None
        looker.tool.screen.dismiss("no")
        await looker.until(lambda: looker.tool.screen is looker.tool.bench_screen)
        await looker.wait("1 plate came back")

    looking(home, steps, text=None, begin=begin)


def _racked(home: Path, boot: str) -> Path:
    """Write the journal of a plate of this bench that was racked an hour ago; return its path."""
    hand = Hand()
    hand.to_stage("wash")
    hand.go(1300.0)
    plate = "20260301-090000-aaaaaa"
    racked_at = datetime.now(UTC).astimezone() - timedelta(hours=1)
    first, *rest = [
        msgspec.structs.replace(
            line,
            at=(racked_at - timedelta(seconds=1300.0 - (line.up or 0.0))).isoformat(timespec="milliseconds"),
        )
        for line in hand.lines["p1"]
    ]
    first = msgspec.structs.replace(first, bench=paths.bench_id(), plate=plate, boot=boot)  # type: ignore[call-arg]
    path = paths.plate_path(home, plate, racked_at.date().isoformat())
    path.parent.mkdir(parents=True)
    path.write_bytes(b"".join(map(frame.encode, [first, *rest])))
    return path


def test_a_racked_plate_comes_back_to_the_rack_and_nothing_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its journal is any writer's beside the running tool; taken back, it goes on from what was noted."""
    home = tmp_path / "home"
    monkeypatch.setenv("DARKROOM_HOME", str(home))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setattr(rack, "ANSWER", 20.0)
    path = _racked(home, boot="an earlier start of the machine")
    before = path.read_bytes()
    services = build(home)
    try:
        session = services.session
        session.tick()
        session.intend(want.ReadTemperature("room", 23.0, "hand"))
        (state,) = session.bench.rack
        assert session.now() - state.since == pytest.approx(3600.0, abs=60.0)
        assert path.read_bytes() == before
        append.add(home, path, lambda n: ev.Rating(n=n, at=first_at(path), up=None, stars=4))
        decision = session.intend(want.FromRack(state.plate))
        assert decision.refusal is None
        assert services.journal_writer.flush(10)
        added = read_plate(path).events[state.last_n - 1 :]
        assert [type(line) for line in added] == [ev.Rating, ev.Resumed, ev.Temperature, ev.StageEnded]
        assert [line.n for line in added] == list(range(state.last_n, state.last_n + 4))
        assert "on the bench" in (append.why_not(path) or "")
    finally:
        services.close()


def first_at(path: Path) -> str:
    """Return the wall time of the first line of a journal."""
    return read_plate(path).events[0].at


def test_the_gap_ends_at_the_instant_of_its_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """However long a start takes over a journal, the gap is from the last line to the line that tells it."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    home = tmp_path / "home"
    plate = _left_behind(home, "none of them")
    path = next(home.glob(f"plates/*/*/{plate}.jsonl"))
    first, *rest = read_plate(path).events
    here = msgspec.structs.replace(first, boot=BOOT)  # type: ignore[call-arg]
    path.write_bytes(b"".join(map(frame.encode, [here, *rest])))  # type: ignore[arg-type]
    monkeypatch.setattr(paths, "boot_id", lambda: BOOT)

    def slow_fold(lines: Any) -> PlateState:
        time.sleep(0.2)
        return fold(lines)

    monkeypatch.setattr(coming_back, "fold", slow_fold)
    services = build(home)
    services.close()
    last, resumed = read_plate(path).events[-2:]
    assert isinstance(resumed, ev.Resumed) and resumed.by == "up"
    assert resumed.up is not None and last.up is not None
    assert resumed.gap == pytest.approx(resumed.up - last.up, abs=0.002)  # both are rounded
