"""The writer of journals on a disk that works: places, order, durability, and resumed journals."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.errors import LineError
from darkroom.log.journal import frame
from darkroom.log.journal.merge import read_plate
from darkroom.log.journal.write import Saved
from darkroom.log.store import durable, locks
from tests.kit.faulty_disk import FaultyDisk, first_path, resumed, write_all
from tests.kit.journals import (
    DAY,
    OTHER,
    PLATE,
    ReportLog,
    at,
    by_hand,
    eager_writer,
    marks,
    plate_events,
    started,
)

EVENTS = plate_events()


# --- without faults ---------------------------------------------------------------------------


def test_a_plate_is_written_where_the_contract_says(home: Path) -> None:
    """A plate's lines stand in plates/YYYY/YYYY-MM-DD/<plate>.jsonl, sound for any JSON reader."""
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    for event in EVENTS:
        writer.write(PLATE, DAY, [event])
    assert writer.close(5)
    path = home / "plates" / "2026" / DAY / f"{PLATE}.jsonl"
    assert path.read_bytes() == b"".join(map(frame.encode, EVENTS))
    assert [plain["n"] for plain in by_hand(path.read_bytes())] == list(range(1, len(EVENTS) + 1))
    told = [report.n for report in report_log.all if isinstance(report, Saved)]
    assert (told, told[-1]) == (sorted(set(told)), EVENTS[-1].n)
    assert len(report_log.all) == len(told)


def test_rehearsals_are_kept_apart(home: Path) -> None:
    """The plates of a rehearsal lie in a folder of their own, in the same form."""
    writer = eager_writer(home, ReportLog(), rehearsal=True)
    writer.write(PLATE, DAY, [started(rehearsal=True)])
    assert writer.close(5)
    assert (home / "rehearsals" / "2026" / DAY / f"{PLATE}.jsonl").is_file()
    assert not (home / "plates").exists()


def test_nothing_is_made_before_the_first_line(home: Path) -> None:
    """A writer that is opened and closed leaves no file, no folder and no thread."""
    before = threading.active_count()
    assert eager_writer(home, ReportLog()).close(1)
    assert not home.exists()
    assert threading.active_count() == before


def test_one_cause_is_one_write_and_one_fsync(home: Path, faulty: FaultyDisk) -> None:
    """However many lines a cause has, they go out together, and none is saved before all are."""
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    writer.write(PLATE, DAY, EVENTS[:1])
    writer.flush(5)
    faulty.calls.clear()
    writer.write(PLATE, DAY, EVENTS[1:7])
    assert writer.close(5)
    assert faulty.calls == ["write", "fsync"]
    assert report_log.all[-1] == Saved(PLATE, 7)


def test_writing_does_not_wait_for_the_disk(home: Path, faulty: FaultyDisk) -> None:
    """While an fsync hangs, `write` takes every further event, and `waiting` says for how long."""
    now = [100.0]
    report_log = ReportLog()
    writer = eager_writer(home, report_log, clock=lambda: now[0])
    faulty.gate.clear()
    writer.write(PLATE, DAY, EVENTS[:1])
    now[0] = 101.5
    for event in EVENTS[1:]:
        writer.write(PLATE, DAY, [event])
    assert writer.waiting() == {PLATE: 1.5}
    assert report_log.all == []
    faulty.gate.set()
    assert writer.flush(5)
    assert writer.waiting() == {}
    assert report_log.saved() == len(EVENTS)
    writer.close(5)


def test_what_cannot_be_written_is_refused_at_once(home: Path) -> None:
    """A cause with a number that is not finite is refused whole; the plate goes on."""
    writer = eager_writer(home, ReportLog())
    writer.write(PLATE, DAY, EVENTS[:1])
    with pytest.raises(LineError):
        writer.write(PLATE, DAY, [*EVENTS[1:3], ev.Mark(n=4, at=at(4), up=float("nan"))])
    writer.write(PLATE, DAY, EVENTS[1:4])
    assert writer.close(5)
    assert list(read_plate(first_path(home)).events) == EVENTS[:4]


def test_two_plates_are_written_side_by_side(home: Path) -> None:
    """Each plate has a journal of its own, in its own order."""
    writer = eager_writer(home, ReportLog())
    other = plate_events(OTHER, number=8)
    for mine, theirs in zip(EVENTS, other, strict=True):
        writer.write(PLATE, DAY, [mine])
        writer.write(OTHER, DAY, [theirs])
    assert writer.close(5)
    assert list(read_plate(first_path(home)).events) == EVENTS
    assert list(read_plate(first_path(home, OTHER)).events) == other


def test_a_listener_that_fails_stops_nothing(home: Path) -> None:
    """An error in the report callback is kept, and the next events are saved."""

    def broken(report: object) -> None:
        raise RuntimeError("gone")

    writer = eager_writer(home, broken)
    write_all(writer)
    assert writer.close(5)
    assert len(read_plate(first_path(home)).events) == 8
    assert writer.report_trouble[0] == "Saved: gone"


def test_writing_goes_on_after_closing(home: Path) -> None:
    """An event that comes after `close` is not lost: the journal is taken up again."""
    writer = eager_writer(home, ReportLog())
    written = write_all(writer)
    assert writer.close(5)
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert list(read_plate(first_path(home)).events) == [*written, *marks(9, 1)]


def test_a_released_journal_can_be_noted_in(home: Path) -> None:
    """The bench holds the lock of its journals until it says that it is done with a plate."""
    writer = eager_writer(home, ReportLog())
    write_all(writer)
    fd = durable.append(first_path(home))
    try:
        assert not locks.lock(fd)
        writer.release(PLATE)
        assert locks.lock(fd, wait=5)
    finally:
        os.close(fd)
    writer.close(5)


# --- taking up a journal --------------------------------------------------------------------


def test_a_journal_is_taken_up_and_goes_on(home: Path, faulty: FaultyDisk) -> None:
    """A resumed journal is fsynced with its folder before anything in it counts as saved."""
    write_all(writer := eager_writer(home, ReportLog()))
    writer.close(5)
    report_log = ReportLog()
    faulty.calls.clear()
    writer = eager_writer(home, report_log)
    faulty.gate.clear()
    writer.adopt(read_plate(first_path(home)))
    assert PLATE in writer.waiting()
    faulty.gate.set()
    assert writer.flush(5)
    assert faulty.calls[0] == "fsync"
    assert set(faulty.calls[1:]) == {"folder"}
    writer.write(PLATE, DAY, marks(9, 2))
    assert writer.close(5)
    assert [event.n for event in read_plate(first_path(home)).events] == list(range(1, 11))
    assert report_log.saved() == 10


def test_a_torn_last_line_is_moved_aside(home: Path) -> None:
    """The holder cuts off what was never saved, keeps it beside the journal, and goes on."""
    write_all(writer := eager_writer(home, ReportLog()))
    writer.close(5)
    path = first_path(home)
    with path.open("ab") as file:
        file.write(b'{"n":9,"at":"2026')
    resumed(home, ReportLog(), marks(9, 2))
    log = read_plate(path)
    assert (len(log.events), log.problems, log.files) == (10, (), (path,))
    assert by_hand(path.read_bytes())[-1]["n"] == 10
    assert path.with_name(f"{PLATE}.torn").read_bytes() == b'{"n":9,"at":"2026\n'


def test_a_whole_line_without_its_lf_is_kept(home: Path) -> None:
    """A last line that lacks its LF only was written whole: it gets the LF, and stays."""
    written = write_all(writer := eager_writer(home, ReportLog()))
    writer.close(5)
    path = first_path(home)
    path.write_bytes(path.read_bytes()[:-1])
    resumed(home, ReportLog(), marks(9, 2))
    assert path.read_bytes() == b"".join(map(frame.encode, [*written, *marks(9, 2)]))
    assert not path.with_name(f"{PLATE}.torn").exists()


def test_damage_elsewhere_is_left_alone(home: Path) -> None:
    """A bad line in the middle of a resumed journal is not changed."""
    write_all(writer := eager_writer(home, ReportLog()))
    writer.close(5)
    path = first_path(home)
    damaged = path.read_bytes().replace(b'"mark"', b'"mork"', 1)
    path.write_bytes(damaged)
    resumed(home, ReportLog(), marks(9, 1))
    assert path.read_bytes() == damaged + frame.encode(marks(9, 1)[0])


def test_a_journal_changed_under_the_reader_is_not_trusted(home: Path) -> None:
    """When the file is no longer what was read back, the plate goes on in another with all its lines."""
    written = write_all(writer := eager_writer(home, ReportLog()))
    writer.close(5)
    path = first_path(home)
    log = read_plate(path)
    path.write_bytes(path.read_bytes()[:200])
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    writer.adopt(log)
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert list(read_plate(path).events) == [*written, *marks(9, 1)]
    assert report_log.spilled()[0].path.name == f"{PLATE}.2.jsonl"


def test_a_journal_without_its_adoption_is_taken_up(home: Path) -> None:
    """A line with a number above 1 for a journal that is there already is appended to it."""
    written = write_all(writer := eager_writer(home, ReportLog()))
    writer.close(5)
    writer = eager_writer(home, ReportLog())
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert list(read_plate(first_path(home)).events) == [*written, *marks(9, 1)]


def test_a_new_plate_never_overwrites(home: Path) -> None:
    """When a journal of that name is there already, a new plate goes to a further file."""
    path = first_path(home)
    path.parent.mkdir(parents=True)
    path.write_bytes(b"something else\n")
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    writer.write(PLATE, DAY, [started()])
    assert writer.close(5)
    assert path.read_bytes() == b"something else\n"
    assert report_log.spilled()[0].path == path.with_name(f"{PLATE}.2.jsonl")
