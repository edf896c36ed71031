"""The last save, with a writer whose disk hangs for as long as the test wants."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log.journal import last_save
from darkroom.log.journal.last_save import NotInJournal, save_all
from darkroom.log.journal.merge import read_plate
from darkroom.log.journal.write import JournalWriter
from darkroom.log.store import durable, paths
from tests.kit.faulty_disk import first_path, write_all
from tests.kit.hanging_disk import HangingDisk
from tests.kit.journals import DAY, PLATE, ReportLog, eager_writer, marks, started


@pytest.fixture
def memory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder that stands for the file system in memory."""
    (tmp_path / "memory").mkdir()
    monkeypatch.setattr(paths, "MEMORY", tmp_path / "memory")
    return tmp_path / "memory"


@pytest.fixture
def writer(home: Path) -> JournalWriter:
    """Return a writer that has saved a plate of seven lines or so."""
    writer = eager_writer(home, ReportLog())
    write_all(writer)
    return writer


@pytest.fixture
def hanging(home: Path, writer: JournalWriter, monkeypatch: pytest.MonkeyPatch) -> Iterator[HangingDisk]:
    """Return a disk that hangs below the log, with two marks that wait for it."""
    disk = HangingDisk(monkeypatch, home)
    for event in marks(read_plate(first_path(home)).last_n + 1, 2):
        writer.write(PLATE, DAY, [event])
    yield disk
    disk.answers.set()
    writer.close(5)


def _save(home: Path, writer: JournalWriter, longest: float = 0.3) -> list[NotInJournal]:
    return save_all(home, writer, copies_after=0.05, longest=longest)


def test_nothing_waits_and_nothing_is_said(home: Path, writer: JournalWriter, memory: Path) -> None:
    """A writer whose lines are saved is stopped at once, and no file is made."""
    told: list[int] = []
    assert save_all(home, writer, waits=told.append) == []
    assert (told, list(memory.iterdir())) == ([], [])
    assert not any(place.exists() for place in paths.spill_places())


def test_the_copy_is_read_with_the_journal(
    home: Path, writer: JournalWriter, hanging: HangingDisk, memory: Path
) -> None:
    """Lines that the journal does not take stand in the first spill place, and are read from there."""
    saved = first_path(home).read_bytes()
    (left,) = _save(home, writer)
    assert (left.unsaved.plate, left.unsaved.count, left.why) == (PLATE, 2, last_save.NO_ANSWER)
    assert left.copy is not None
    assert left.copy.parent == paths.spill_places()[0]
    first_path(home).write_bytes(saved[: saved.rfind(b"\n", 0, -1) + 1] + saved.splitlines(True)[-1])
    log = read_plate(first_path(home))
    assert left.copy in log.files
    assert [type(event) for event in log.events[-2:]] == [ev.Mark, ev.Mark]


def test_a_copy_is_taken_away_when_the_disk_answers(
    home: Path, writer: JournalWriter, hanging: HangingDisk, memory: Path
) -> None:
    """When the journal has taken every line in time, no second file of the plate is left."""
    threading.Timer(0.3, hanging.answers.set).start()
    assert _save(home, writer, longest=20.0) == []
    assert [path for place in paths.last_places() for path in place.rglob("*.jsonl")] == []
    assert read_plate(first_path(home)).problems == ()


def test_places_that_hang_too_are_left_for_the_next(
    home: Path, writer: JournalWriter, hanging: HangingDisk, memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the user's folders on the same disk the lines go to memory, after a moment for each place."""
    monkeypatch.setattr(last_save, "PLACE_PATIENCE", 0.1)
    hanging.folders = (home, *paths.spill_places())
    (left,) = _save(home, writer)
    assert left.copy is not None
    assert memory in left.copy.parents


def test_lines_newer_than_the_copy_are_not_called_kept(
    home: Path, writer: JournalWriter, hanging: HangingDisk, memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A line that came while the copy was written is in no file, and the copy does not count for it."""
    real = last_save.begin_file

    def begin_file(folder: Path, plate: str, number: int, data: bytes) -> tuple[Path, int, int]:
        writer.write(PLATE, DAY, marks(number + 20, 1))
        return real(folder, plate, number, data)

    monkeypatch.setattr(last_save, "begin_file", begin_file)
    (left,) = _save(home, writer)
    assert (left.unsaved.count, left.copy) == (3, None)


def test_a_line_that_comes_after_the_last_look_is_not_passed_over(
    home: Path, writer: JournalWriter, memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A bench that still goes on writes after all was saved: the line is told and kept like any other."""
    disk, real = HangingDisk(monkeypatch, home), writer.flush

    def flush(timeout: float) -> bool:
        all_saved = real(timeout)
        if not writer.unsaved():
            writer.write(PLATE, DAY, marks(read_plate(first_path(home)).last_n + 1, 1))
        return all_saved

    monkeypatch.setattr(writer, "flush", flush)
    monkeypatch.setattr(last_save, "PLACE_PATIENCE", 0.5)
    (left,) = _save(home, writer)
    assert (left.unsaved.count, left.copy is not None) == (1, True)
    disk.answers.set()
    assert real(20)
    writer.close(5)


def test_a_place_that_hangs_is_tried_once_for_all_plates(
    home: Path, writer: JournalWriter, hanging: HangingDisk, memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With many plates waiting each place is left after one moment; all have their lines in memory."""
    monkeypatch.setattr(last_save, "PLACE_PATIENCE", 0.1)
    hanging.folders = (home, *paths.spill_places())
    others = [f"20260301-1200{number:02}-abc12{number}" for number in range(1, 6)]
    for plate in others:
        writer.write(plate, DAY, [started(plate)])
    tried: list[Path] = []
    real = durable.own_folder
    monkeypatch.setattr(durable, "own_folder", lambda folder: (tried.append(folder), real(folder))[1])
    left = _save(home, writer)
    assert {missing.unsaved.plate for missing in left} == {PLATE, *others}
    assert all(missing.copy is not None and memory in missing.copy.parents for missing in left)
    assert [tried.count(place) for place in paths.spill_places()] == [1, 1]


def test_without_a_thread_for_copies_the_writer_keeps_its_time(
    home: Path, writer: JournalWriter, hanging: HangingDisk, memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no thread can be begun the disk that answers in time has every line all the same."""

    def none_left(thread: threading.Thread) -> None:
        raise RuntimeError("can't start new thread")

    timer = threading.Timer(0.3, hanging.answers.set)
    timer.start()
    monkeypatch.setattr(threading.Thread, "start", none_left)
    assert _save(home, writer, longest=20.0) == []
    timer.join()
