"""A plate's journal taken back from the rack: locked, and read again as others left it."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.errors import NotSavedError
from darkroom.log.journal import append, rack
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.journal.plate_files import PlateFiles
from darkroom.log.store import durable, locks, paths
from tests.kit.journals import DAY, PLATE, ReportLog, at, eager_writer, plate_events

RACKED = plate_events()[:28]


@pytest.fixture(autouse=True)
def patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no test depend on how fast the machine is."""
    monkeypatch.setattr(rack, "ANSWER", 20.0)
    monkeypatch.setattr(append, "PATIENCE", 20.0)


def _ended(n: int) -> ev.StageEnded:
    return ev.StageEnded(n=n, at=at(900), up=900.0, stage="dry", seconds=1.0, planned=None, how="strike")


def test_a_plate_taken_back_has_the_lines_of_others(home: Path) -> None:
    """The bench goes on after the note that was written meanwhile, and holds the journal again."""
    writer = eager_writer(home, ReportLog())
    writer.write(PLATE, DAY, RACKED)
    writer.release(PLATE)
    assert writer.flush(5)
    path = paths.plate_path(home, PLATE, DAY)
    append.add(home, path, lambda n: ev.Note(n=n, at=at(999), up=None, text="thin"))
    log = writer.take_back(PLATE, DAY)
    assert log is not None
    assert (log.last_n, type(log.events[-1])) == (29, ev.Note)
    assert "just racked" in (append.why_not(path) or "")
    writer.write(PLATE, DAY, [_ended(30)])
    assert writer.close(5)
    log = read_plate(path)
    assert (log.last_n, log.problems, len(log.files)) == (30, (), 1)


def test_a_plate_that_was_never_given_away_is_not_read_again(home: Path) -> None:
    """While the writer holds the journal there is nothing to take back: its lines are known."""
    writer = eager_writer(home, ReportLog())
    writer.write(PLATE, DAY, RACKED)
    assert writer.take_back(PLATE, DAY) is None
    writer.write(PLATE, DAY, [_ended(29)])
    assert writer.close(5)
    assert read_plate(paths.plate_path(home, PLATE, DAY)).last_n == 29


def test_a_journal_that_someone_writes_to_is_not_taken(home: Path) -> None:
    """A lock held elsewhere refuses it with the reason, and nothing is held after that."""
    writer = eager_writer(home, ReportLog())
    writer.write(PLATE, DAY, RACKED)
    writer.release(PLATE)
    assert writer.flush(5)
    path = paths.plate_path(home, PLATE, DAY)
    fd = durable.append(path)
    assert locks.lock(fd, wait=5.0)
    with pytest.raises(NotSavedError, match="a note is being written to it"):
        writer.take_back(PLATE, DAY)
    os.close(fd)
    assert append.why_not(path) is None
    assert writer.take_back(PLATE, DAY) is not None
    assert writer.close(5)


def test_a_journal_that_is_gone_is_told_of(home: Path) -> None:
    """A file that someone removed cannot be taken back: the reason is the system's."""
    writer = eager_writer(home, ReportLog())
    with pytest.raises(NotSavedError, match="No such file"):
        writer.take_back(PLATE, DAY)
    assert writer.close(5)


def test_a_disk_that_does_not_answer_keeps_nobody_waiting(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The attempt is given up, and its lock goes back as soon as the disk has answered."""
    answer, closed = threading.Event(), threading.Event()

    class SlowFiles(PlateFiles):
        """Files of a disk that answers late."""

        def take_back(self) -> PlateLog:
            """Answer late."""
            answer.wait(10)
            return read_plate(self.first)

        def close(self) -> None:
            """Tell that nothing is held."""
            super().close()
            closed.set()

    monkeypatch.setattr(rack, "PlateFiles", SlowFiles)
    with pytest.raises(NotSavedError, match="does not answer"):
        rack.take_back(home, paths.plate_path(home, PLATE, DAY), PLATE, timeout=0.01)
    assert not closed.is_set()
    answer.set()
    assert closed.wait(10)
