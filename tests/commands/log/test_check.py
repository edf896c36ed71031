"""`darkroom log check --bring-home`, and the help of the review's commands."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.log.days.events import SeenTo
from darkroom.log.journal import frame
from darkroom.log.store import bench_files, paths
from darkroom.solutions.events import READER
from tests.kit.command_line import run
from tests.kit.log_commands import Capture, listed, run_log


def spill(home: Path, path: Path, keep: int) -> Path:
    """Move a plate's lines after the first `keep` to a spill place, as a failed disk leaves them."""
    whole = path.read_bytes().splitlines(True)
    path.write_bytes(b"".join(whole[:keep]))
    folder = paths.spill_places()[0]
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    begun = ev.Continued(n=0, at="x", up=None, plate=path.stem, saved=keep, why="trial", home=str(home))
    spilled = folder / f"{path.stem}.2.jsonl"
    spilled.write_bytes(frame.encode(begun) + b"".join(whole[keep:]))
    return spilled


def test_spilled_files_come_home_by_copy(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """With --bring-home spilled files are copied into the log, complete, and the originals stay."""
    before = listed(capsys)[-1]
    spilled = spill(home, plates[0], 8)
    original = spilled.read_bytes()
    status, _, err = run_log(capsys, "check")
    assert (status, plates[0].with_name(spilled.name).exists()) == (0, False)
    assert f"{spilled}: lies outside the log; it is read with its plate\n" in err
    status, _, err = run_log(capsys, "check", "--bring-home")
    copy = plates[0].with_name(spilled.name)
    assert status == 0
    assert f"{spilled}: copied to {copy}" in err
    assert "all its lines are in the log too" in err
    assert spilled.read_bytes() == original
    assert run_log(capsys, "check", "--bring-home")[2].count("copied to") == 0
    spilled.unlink()
    after = listed(capsys)[-1]
    assert {**after, "files": []} == {**before, "files": []}


def test_a_plate_that_spilled_whole_comes_home_to_its_day(
    home: Path, capsys: Capture, plates: list[Path]
) -> None:
    """A plate that lies in a spill place alone gets its day's folder; a taken name is not written over."""
    spilled = spill(home, plates[0], 0)
    plates[0].unlink()
    assert plates[0].stem in {plate_row["plate"] for plate_row in listed(capsys)}
    (plates[0].with_name(spilled.name)).write_bytes(b"")
    assert run_log(capsys, "check", "--bring-home")[0] == 0
    assert plates[0].with_name(f"{plates[0].stem}.3.jsonl").read_bytes() == spilled.read_bytes()
    assert plates[0].with_name(spilled.name).read_bytes() == b""


def test_a_full_disk_brings_nothing_home(
    home: Path, capsys: Capture, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file is named, nothing of a copy is left, and the original is as it was."""
    from darkroom.log.store import durable

    spilled = spill(home, plates[0], 8)
    original = spilled.read_bytes()

    def full(fd: int, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(durable, "write_once", full)
    status, out, _ = run_log(capsys, "check", "--bring-home")
    assert status == 1
    assert f"{spilled}: not brought home: the disk is full" in out
    assert not plates[0].with_name(spilled.name).exists()
    assert spilled.read_bytes() == original


def test_a_plate_on_a_running_bench_is_left_to_it(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """While the tool runs it alone writes in the journal of a plate on the bench."""
    whole = plates[0].read_bytes().splitlines(True)
    plates[0].write_bytes(b"".join(whole[:10]))
    spilled = spill(home, plates[0], 8)
    with bench_files.BenchLock(home):
        status, out, _ = run_log(capsys, "check", "--bring-home")
    assert status == 1
    assert f"{spilled}: the plate is on the bench" in out
    assert not plates[0].with_name(spilled.name).exists()


@pytest.mark.parametrize("command", ["list", "rate", "note", "compare", "trends", "check", "reindex"])
def test_each_help_has_an_example(capsys: Capture, command: str) -> None:
    """Each help has an example and says that only the full-screen tool is red."""
    status, out, _ = run_log(capsys, command, "--help")
    assert status == 0
    assert f"Example: darkroom log {command}" in out
    assert "full-screen tool is red" in " ".join(out.split())


def test_the_sheets_of_the_days_are_read_too(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """A torn line of a day is a problem with its file and line, and the days are counted."""
    seen = SeenTo(n=1, at="2026-11-02T09:12:30.000+01:00", up=None, id="goggles", value=None)
    sheet = home / "days" / "2026-11-02.00000000000000be.jsonl"
    sheet.parent.mkdir()
    sheet.write_bytes(frame.encode(seen))
    status, out, err = run_log(capsys, "check")
    assert (status, out) == (0, "")
    assert err.endswith(f"{len(plates)} plates read and 1 day, no problem\n")
    sheet.write_bytes(frame.encode(seen) + frame.encode(seen)[:40])
    status, out, err = run_log(capsys, "check")
    assert (status, out) == (1, f"{sheet}:2: not a line of a journal, or not a whole one\n")
    assert json.loads(run_log(capsys, "check", "--json")[1])["days"] == 1


def test_the_book_of_bottles_is_read_too(home: Path, capsys: Capture) -> None:
    """Bottles are counted; a torn line of one and a second making are problems, each with its place."""
    assert run(capsys, "bottle", "new", "bath", "B-1")[0] == 0
    assert run_log(capsys, "check") == (0, "", "0 plates read and 1 bottle, no problem\n")
    (path,) = (home / "bottles").rglob("*.jsonl")
    first = path.read_bytes()
    again = frame.encode(msgspec.structs.replace(READER.decode(first), n=2))
    path.write_bytes(first + again + first[:40])
    status, out, _ = run_log(capsys, "check")
    lines = out.splitlines()
    assert status == 1 and lines[0] == f"{path}:3: not a line of a journal, or not a whole one"
    assert lines[1].startswith(f"{path.parent}: ") and "second time" in lines[1]
    assert json.loads(run_log(capsys, "check", "--json")[1])["bottles"] == 1
    assert run_log(capsys, "check", "--rehearsals")[0] == 0
