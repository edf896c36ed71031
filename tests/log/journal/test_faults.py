"""The writer of journals on a disk that fails: what it calls saved is there, in order, whatever happens."""

from __future__ import annotations

import errno
import os
import threading
from pathlib import Path
from typing import Any

import pytest

from darkroom.log.journal import frame
from darkroom.log.journal.merge import read_plate
from darkroom.log.journal.write import NotSaved, SavedAgain
from darkroom.log.store import durable, paths
from tests.kit.faulty_disk import FaultyDisk, first_path, resumed, write_all
from tests.kit.journals import (
    DAY,
    OTHER,
    PLATE,
    ReportLog,
    by_hand,
    cause,
    eager_writer,
    marks,
    path_of,
    started,
)

# --- a full disk ---------------------------------------------------------------------------------


def test_no_space_is_cut_back_kept_and_tried_again(home: Path, faulty: FaultyDisk) -> None:
    """On a full disk the half line is cut off, the events wait in order, and go out when there is space."""
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    write_all(writer, 2)
    size = first_path(home).stat().st_size
    full = [errno.ENOSPC] * 1000
    faulty.script("write", *full)
    writer.write(PLATE, DAY, cause(2))
    writer.write(PLATE, DAY, cause(3))
    assert not writer.flush(0.3)
    assert first_path(home).stat().st_size == size
    assert report_log.kinds() == ["NotSaved"]
    report = report_log.all[-1]
    assert isinstance(report, NotSaved)
    assert (report.plate, report.why) == (PLATE, "the disk is full")
    assert set(writer.waiting()) == {PLATE}
    faulty.script("write")
    assert writer.flush(5)
    assert report_log.kinds() == ["NotSaved", "SavedAgain"]
    assert writer.close(5)
    assert [plain["n"] for plain in by_hand(first_path(home).read_bytes())] == list(range(1, 9))
    assert read_plate(first_path(home)).files == (first_path(home),)


def test_a_full_disk_at_the_first_line_is_tried_again(home: Path, faulty: FaultyDisk) -> None:
    """A new journal on a full disk is written to its own place once there is room."""
    for kind in ("create", "write"):
        plate = {"create": PLATE, "write": OTHER}[kind]
        faulty.script(kind, *[errno.ENOSPC] * 3)
        report_log = ReportLog()
        writer = eager_writer(home, report_log)
        writer.write(plate, DAY, [started(plate)])
        assert writer.flush(5)
        assert report_log.kinds() == ["NotSaved", "SavedAgain"]
        assert writer.close(5)
        assert read_plate(first_path(home, plate)).problems == ()


def test_leaving_on_a_full_disk_saves_elsewhere(home: Path, faulty: FaultyDisk, monkeypatch: Any) -> None:
    """Events that still wait when the tool is left go to the first other place that takes them."""
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    write_all(writer, 2)
    real, own = durable.write_once, str(home)

    def full(fd: int, data: bytes) -> None:
        if path_of(fd).startswith(own):
            raise OSError(errno.ENOSPC, "full")
        real(fd, data)

    monkeypatch.setattr(durable, "write_once", full)
    writer.write(PLATE, DAY, cause(2))
    assert not writer.flush(0.1)
    assert writer.close(5)
    assert [report.path.parent for report in report_log.spilled()] == [paths.spill_places()[0]]
    log = read_plate(first_path(home))
    assert ([event.n for event in log.events], log.problems) == ([1, 2, 3, 4, 5, 6], ())


# --- a failing disk --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "fault"),
    [
        ("write", errno.EIO),
        ("write", errno.EROFS),
        ("write", errno.EFBIG),
        ("fsync", errno.EIO),
        ("fsync", errno.ENOSPC),
        ("fsync", errno.EDQUOT),
    ],
)
def test_a_failing_file_is_left(home: Path, faulty: FaultyDisk, kind: str, fault: int) -> None:
    """After EIO, a read-only disk or a failed fsync the plate goes on in a second file; nothing is lost."""
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    write_all(writer, 2)
    faulty.script(kind, fault)
    writer.write(PLATE, DAY, cause(2))
    assert writer.flush(5)
    writer.write(PLATE, DAY, cause(3))
    assert writer.close(5)
    second = first_path(home).with_name(f"{PLATE}.2.jsonl")
    assert report_log.kinds() == ["Spilled"]
    assert report_log.spilled()[0].path == second
    plain = by_hand(second.read_bytes())
    assert (plain[0]["n"], plain[0]["event"], plain[0]["plate"], plain[0]["saved"]) == (
        0,
        "continued",
        PLATE,
        4,
    )
    assert [line["n"] for line in plain[1:]] == [5, 6, 7, 8]
    log = read_plate(first_path(home))
    assert ([event.n for event in log.events], log.problems) == (list(range(1, 9)), ())
    assert frame.encode(cause(2)[0]) in second.read_bytes()


def test_a_failed_fsync_is_never_asked_again(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file whose fsync failed is not fsynced again: the next could succeed with the bytes lost."""
    synced_files: list[str] = []
    real = durable.sync

    def sync(fd: int) -> None:
        synced_files.append(Path(path_of(fd)).name)
        if len(synced_files) == 2:
            raise OSError(errno.EIO, "Input/output error")
        real(fd)

    monkeypatch.setattr(durable, "sync", sync)
    writer = eager_writer(home, ReportLog())
    write_all(writer, 5)
    assert writer.close(5)
    assert synced_files == [f"{PLATE}.jsonl"] * 2 + [f"{PLATE}.2.jsonl"] * 4


def test_the_places_are_tried_in_their_order(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The plate's folder, the state folder and the temporary folder are tried in this order."""
    bad: list[str] = []
    real = durable.sync

    def sync(fd: int) -> None:
        path = path_of(fd)
        if any(path.startswith(place) for place in bad):
            raise OSError(errno.EIO, "Input/output error")
        real(fd)

    monkeypatch.setattr(durable, "sync", sync)
    state, temporary = paths.spill_places()
    report_log = ReportLog()
    writer = eager_writer(home, report_log, retry=60.0)  # no attempt is under way when the disks work again
    write_all(writer, 2)
    for number, place in enumerate([home, state, temporary], 2):
        bad.append(str(place))
        writer.write(PLATE, DAY, cause(number))
        assert writer.flush(0.3 if place == temporary else 10.0) is (place != temporary)
    assert [report.path.parent for report in report_log.spilled()] == [state, temporary]
    assert report_log.kinds()[-1] == "NotSaved"
    bad.clear()
    assert writer.close(5)
    assert report_log.spilled()[-1].path.parent == first_path(home).parent
    log = read_plate(first_path(home))
    assert ([event.n for event in log.events], log.problems) == (list(range(1, 11)), ())
    assert isinstance(report_log.all[-1], SavedAgain)


def test_a_failed_resume_writes_every_line_again(home: Path, faulty: FaultyDisk) -> None:
    """When the fsync of a resumed journal fails nothing in it counts: all of it goes to the next file."""
    written = write_all(writer := eager_writer(home, ReportLog()))
    writer.close(5)
    log = read_plate(first_path(home))
    faulty.script("fsync", errno.EIO)
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    writer.adopt(log)
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    second = first_path(home).with_name(f"{PLATE}.2.jsonl")
    assert second.read_bytes().split(b"\n", 1)[1] == b"".join(map(frame.encode, [*written, *marks(9, 1)]))
    assert by_hand(second.read_bytes())[0]["saved"] == 0


def test_a_spilled_plate_is_brought_home(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A plate that went on in the state folder is copied back beside its journal when it is resumed."""
    with monkeypatch.context() as patch:
        real = durable.sync
        bad = [False]

        def sync(fd: int) -> None:
            if bad[0] and path_of(fd).startswith(str(home)):
                raise OSError(errno.EIO, "Input/output error")
            real(fd)

        patch.setattr(durable, "sync", sync)
        writer = eager_writer(home, ReportLog())
        write_all(writer, 2)
        bad[0] = True
        writer.write(PLATE, DAY, cause(2))
        assert writer.close(5)
    spilled = read_plate(first_path(home)).files[-1]
    assert spilled.parent == paths.spill_places()[0]
    kept = spilled.read_bytes()
    for again in range(3):
        resumed(home, ReportLog(), marks(7 + again, 1))
    assert spilled.read_bytes() == kept
    spilled.unlink()
    log = read_plate(first_path(home))
    assert ([event.n for event in log.events], log.problems) == (list(range(1, 10)), ())
    assert [path.name for path in log.files] == [f"{PLATE}.jsonl", f"{PLATE}.4.jsonl"]


def test_a_deleted_journal_is_written_anew(home: Path) -> None:
    """When the file is taken away under the writer every line of the plate is saved again in another."""
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    written = write_all(writer)
    first_path(home).unlink()
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert [report.why for report in report_log.spilled()] == ["the journal was deleted"]
    log = read_plate(report_log.spilled()[0].path)
    assert list(log.events) == [*written, *marks(9, 1)]
    assert by_hand(log.files[0].read_bytes())[0]["saved"] == 0


def test_an_error_of_our_own_loses_nothing(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever goes wrong in the writer itself, the events are kept and go to another file."""
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    written = write_all(writer)
    calls = iter([MemoryError("no memory")])
    real = durable.write_once

    def write_once(fd: int, data: bytes) -> None:
        for error in calls:
            raise error
        real(fd, data)

    monkeypatch.setattr(durable, "write_once", write_once)
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert report_log.kinds() == ["NotSaved", "Spilled", "SavedAgain"]
    assert list(read_plate(first_path(home)).events) == [*written, *marks(9, 1)]


def test_one_plates_bad_disk_does_not_hold_up_another(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While one plate waits for space the events of another are saved."""
    real = durable.write_once

    def write_once(fd: int, data: bytes) -> None:
        if PLATE in path_of(fd):
            raise OSError(errno.ENOSPC, "full")
        real(fd, data)

    monkeypatch.setattr(durable, "write_once", write_once)
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    writer.write(PLATE, DAY, [started()])
    writer.write(OTHER, DAY, [started(OTHER)])
    writer.write(OTHER, DAY, marks(2, 3))
    assert not writer.flush(0.3)
    assert report_log.saved(OTHER) == 4
    assert set(writer.waiting()) == {PLATE}
    monkeypatch.setattr(durable, "write_once", real)
    assert writer.close(5)


def test_an_error_of_our_own_leaves_no_file_open(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """However often an attempt fails in an unforeseen way, it leaves neither an open file nor a stray one."""
    report_log = ReportLog()
    writer = eager_writer(home, report_log, retry=0.0)
    write_all(writer, 1)
    attempts = threading.Semaphore(0)

    def write_once(fd: int, data: bytes) -> None:
        attempts.release()
        raise RuntimeError("unforeseen")

    with monkeypatch.context() as patch:
        patch.setattr(durable, "write_once", write_once)
        writer.write(PLATE, DAY, cause(1))
        for _ in range(50):
            assert attempts.acquire(timeout=5)
        before = os.dup(0)
        for _ in range(50):
            assert attempts.acquire(timeout=5)
        after = os.dup(0)
        os.close(before)
        os.close(after)
    assert after - before <= 3
    assert writer.close(5)
    assert [event.n for event in read_plate(first_path(home)).events] == [1, 2, 3, 4]
    assert len(list(first_path(home).parent.iterdir())) == 2
