"""Notes from the command line: under the journal's lock, never in a plate on the bench."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.errors import NotReadable, NotSavedError, PlateOnBench
from darkroom.log.journal import append, frame
from darkroom.log.journal.merge import read_plate
from darkroom.log.store import bench_files, durable, locks, paths
from tests.kit.journals import (
    BENCH,
    DAY,
    OTHER,
    PLATE,
    PYTHON,
    ReportLog,
    at,
    by_hand,
    eager_writer,
    marks,
    path_of,
    plate_events,
    started,
)

ENDED = plate_events()[:29]
RACKED = plate_events()[:28]


def put_in_log(home: Path, events: list[ev.AnyEvent], tail: bytes = b"", plate: str = PLATE) -> Path:
    """Put a plate's journal into the log."""
    path = paths.plate_path(home, plate, DAY)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"".join(map(frame.encode, events)) + tail)
    return path


def note(home: Path, path: Path, text: str = "thin") -> int:
    """Add a note; return its number."""
    return append.add(home, path, lambda n: ev.Note(n=n, at=at(999), up=None, text=text)).n


def test_a_note_is_the_next_line(home: Path) -> None:
    """A note on an ended plate gets the number after the last line, and changes no byte before it."""
    path = put_in_log(home, ENDED)
    before = path.read_bytes()
    assert [note(home, path), note(home, path)] == [30, 31]
    assert path.read_bytes().startswith(before)
    assert [plain["n"] for plain in by_hand(path.read_bytes())] == list(range(1, 32))
    assert by_hand(path.read_bytes())[-1]["up"] is None
    assert read_plate(path).problems == ()


def test_every_kind_of_review_can_be_added(home: Path) -> None:
    """Faults, ratings and details are written as notes are."""
    path = put_in_log(home, ENDED)
    append.add(home, path, lambda n: ev.Fault(n=n, at=at(9), up=None, name="fog", where="left"))
    append.add(home, path, lambda n: ev.Rating(n=n, at=at(9), up=None, stars=4))
    append.add(home, path, lambda n: ev.Detail(n=n, at=at(9), up=None, key="scan", value="7", corrects=30))
    kinds = [type(event).__name__ for event in read_plate(path).events[-3:]]
    assert kinds == ["Fault", "Rating", "Detail"]


def test_a_plate_on_the_bench_is_refused(home: Path) -> None:
    """Only the bench writes in the journal of a plate that is on it, tool running or not."""
    path = put_in_log(home, plate_events()[:20])
    before = path.read_bytes()
    with pytest.raises(PlateOnBench, match="note it at the bench"):
        note(home, path)
    assert path.read_bytes() == before


def test_a_plate_on_the_rack_can_be_noted_beside_a_running_tool(home: Path) -> None:
    """A plate on the rack takes notes, whether a tool runs or not, once nobody holds its journal."""
    path = put_in_log(home, RACKED)
    assert append.why_not(path) is None
    assert note(home, path) == 29
    with bench_files.BenchLock(home):
        assert append.why_not(path) is None
        assert note(home, path) == 30


def test_a_racked_plate_that_the_bench_still_holds_is_refused(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Until the bench gives the lock of a racked plate's journal back, nobody else writes to it."""
    monkeypatch.setattr(append, "PATIENCE", 0.05)
    writer = eager_writer(home, ReportLog())
    writer.write(PLATE, DAY, RACKED)
    assert writer.flush(5)
    path = paths.plate_path(home, PLATE, DAY)
    assert "just racked" in (append.why_not(path) or "")
    with pytest.raises(PlateOnBench, match="just racked"):
        note(home, path)
    writer.release(PLATE)
    monkeypatch.setattr(append, "PATIENCE", 5.0)
    assert note(home, path) == 29
    assert writer.close(5)


def test_a_racked_plate_that_is_written_in_another_file_is_refused(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plate whose journal the bench goes on with in another folder takes no note in the first one."""
    monkeypatch.setattr(append, "PATIENCE", 0.05)
    path = put_in_log(home, RACKED)
    folder = paths.spill_places()[0]
    folder.mkdir(parents=True)
    further = folder / f"{PLATE}.2.jsonl"
    goes_on = ev.Continued(n=0, at=at(300), up=300.0, plate=PLATE, saved=28, why="test", home=str(home))
    further.write_bytes(frame.encode(goes_on))
    fd = durable.append(further)
    assert locks.lock(fd)
    before = path.read_bytes()
    assert "just racked" in (append.why_not(path) or "")
    with pytest.raises(PlateOnBench):
        note(home, path)
    assert path.read_bytes() == before
    os.close(fd)
    assert append.why_not(path) is None


def test_why_not_asks_without_writing(home: Path) -> None:
    """What refuses a note says so before anything is typed, and no byte or file changes."""
    on_bench = put_in_log(home, plate_events()[:20])
    newer = put_in_log(home, [started(OTHER, schema=9)], plate=OTHER)
    files = {path: path.read_bytes() for path in home.rglob("*") if path.is_file()}
    assert append.why_not(on_bench) == "the plate is on the bench: note it at the bench"
    assert "newer darkroom" in (append.why_not(newer) or "")
    assert "No such file" in (append.why_not(on_bench.with_name(f"{BENCH}.jsonl")) or "")
    assert {path: path.read_bytes() for path in home.rglob("*") if path.is_file()} == files


def test_an_ended_plate_can_be_noted_while_the_tool_runs(home: Path) -> None:
    """An ended plate takes a note while a tool is running."""
    path = put_in_log(home, ENDED)
    with bench_files.BenchLock(home):
        assert note(home, path) == 30


def test_a_plate_in_the_writers_hands_is_refused(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A note is refused while the tool still holds the lock of an ended plate's journal."""
    monkeypatch.setattr(append, "PATIENCE", 0.05)
    writer = eager_writer(home, ReportLog())
    writer.write(PLATE, DAY, ENDED)
    assert writer.flush(5)
    path = paths.plate_path(home, PLATE, DAY)
    with pytest.raises(PlateOnBench):
        note(home, path)
    writer.write(PLATE, DAY, [ev.Undone(n=30, at=at(400), up=400.0, undoes=(29,), held=False)])
    writer.write(PLATE, DAY, [ev.PlateEnded(n=31, at=at(401), up=401.0, how="done")])
    assert writer.close(5)
    assert note(home, path) == 32


def test_rehearsals_and_lost_starts_can_be_noted(home: Path) -> None:
    """Rehearsals and plates without a first line take notes, since they cannot be on the bench."""
    assert note(home, put_in_log(home, [started(rehearsal=True), *marks(2, 3)])) == 5
    path = put_in_log(home, [started(OTHER), *marks(2, 3)], plate=OTHER)
    path.write_bytes(path.read_bytes()[10:])
    assert note(home, path) == 5


def test_a_newer_schema_is_not_added_to(home: Path) -> None:
    """A note on a plate of a newer schema is refused."""
    path = put_in_log(home, plate_events(schema=2)[:29])
    with pytest.raises(NotSavedError, match="newer"):
        note(home, path)


def test_a_note_is_never_glued_to_a_torn_line(home: Path) -> None:
    """Damage at the end stays as it is; the note is a line of its own after it."""
    path = put_in_log(home, ENDED, tail=b'{"n":30,"at"')
    assert note(home, path) == 30
    assert path.read_bytes().split(b"\n")[29] == b'{"n":30,"at"'
    log = read_plate(path)
    assert log.events[-1].n == 30
    assert [problem.line for problem in log.problems] == [30]
    assert note(home, put_in_log(home, ENDED, tail=b"rubbish\n")) == 31


def test_the_note_goes_to_the_last_file_at_home(home: Path) -> None:
    """A plate of two files is noted in the second; the first is as it was."""
    path = put_in_log(home, ENDED[:10])
    first = path.read_bytes()
    begun = ev.Continued(n=0, at=at(0), up=0.0, plate=PLATE, saved=10, why="trial")
    second = path.with_name(f"{PLATE}.2.jsonl")
    second.write_bytes(b"".join(map(frame.encode, [begun, *ENDED[10:]])))
    assert note(home, path) == 30
    assert path.read_bytes() == first
    assert by_hand(second.read_bytes())[-1]["n"] == 30


def test_a_full_disk_leaves_the_journal_as_it_was(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a full disk the incomplete note is cut off again, and an error is raised."""
    path = put_in_log(home, ENDED)
    before = path.read_bytes()
    real = os.write

    def short(fd: int, data: bytes) -> int:
        if not path_of(fd).endswith(path.name):
            return real(fd, data)
        if len(data) < 30:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(fd, data[: len(data) - 20])

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", short)
        with pytest.raises(NotSavedError, match="the disk is full"):
            note(home, path)
    assert path.read_bytes() == before
    assert note(home, path) == 30


def test_a_failed_fsync_is_said(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A failed fsync of a note raises an error."""
    path = put_in_log(home, ENDED)
    before = path.read_bytes()

    def broken(fd: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(durable, "sync", broken)
    with pytest.raises(NotSavedError, match="Input/output error"):
        note(home, path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("mine", [b"", b"my own words\n", b"no line end"])
def test_a_link_to_what_is_no_journal_is_refused(home: Path, mine: bytes) -> None:
    """Nothing is added to a file of another kind that a journal's name leads to; asking says so."""
    path = paths.plate_path(home, PLATE, DAY)
    path.parent.mkdir(parents=True)
    (home / "mine").write_bytes(mine)
    path.symlink_to(home / "mine")
    with pytest.raises(NotSavedError, match="is a link to a file that is no journal"):
        note(home, path)
    assert "no journal" in (append.why_not(path) or "")
    assert (home / "mine").read_bytes() == mine


def test_a_journal_that_lies_elsewhere_is_noted_through_its_link(home: Path) -> None:
    """A journal whose name here is a link to it gets its line where it lies, and the link stays."""
    path = put_in_log(home, ENDED)
    away = home / "away.jsonl"
    path.rename(away)
    path.symlink_to(away)
    assert append.why_not(path) is None
    assert note(home, path) == 30
    assert path.readlink() == away
    assert [plain["n"] for plain in by_hand(away.read_bytes())] == list(range(1, 31))


def test_a_journal_that_is_not_there_is_said(home: Path) -> None:
    """A note for a journal that does not exist raises an error."""
    home.mkdir()
    with pytest.raises(NotReadable):
        note(home, paths.plate_path(home, PLATE, DAY))


WRITE = """
import sys
from pathlib import Path
from darkroom.bench import events as ev
from darkroom.log.journal import append
at = "2026-03-01T15:00:00.000+01:00"
for number in range(15):
    text = f"{sys.argv[3]} {number}"
    append.add(Path(sys.argv[1]), Path(sys.argv[2]), lambda n: ev.Note(n=n, at=at, up=None, text=text))
"""


def test_programs_that_note_at_once_do_not_mix(home: Path) -> None:
    """Four programs note in one plate: every note is there once, under a number of its own."""
    path = put_in_log(home, ENDED)
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(part for part in sys.path if part)}
    run = [subprocess.Popen([PYTHON, "-c", WRITE, str(home), str(path), name], env=env) for name in "abcd"]
    assert [program.wait(60) for program in run] == [0, 0, 0, 0]
    log = read_plate(path)
    assert log.problems == ()
    texts = [event.text for event in log.events if isinstance(event, ev.Note)]
    assert sorted(texts) == sorted(f"{name} {number}" for name in "abcd" for number in range(15))
    assert [plain["n"] for plain in by_hand(path.read_bytes())] == list(range(1, 90))


def test_the_bench_waits_for_a_note_and_goes_on_behind_it(home: Path) -> None:
    """A plate adopted while a note is being written is adopted as soon as the note's lock is free."""
    path = put_in_log(home, plate_events()[:28])
    log = read_plate(path)
    fd = durable.append(path)
    assert locks.lock(fd)
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    writer.adopt(log)
    assert not writer.flush(0.1)
    timer = threading.Timer(0.05, os.close, [fd])
    timer.start()
    assert writer.flush(5)
    timer.join()
    writer.write(PLATE, DAY, [ev.PlateEnded(n=29, at=at(401), up=401.0, how="done")])
    assert writer.close(5)
    assert read_plate(path).ended is not None
    assert BENCH in path.read_text("utf-8")
