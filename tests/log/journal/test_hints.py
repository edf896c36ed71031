"""The hints of what the bench wrote: given when its writer rests, and none is left out."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest

from darkroom.log.journal import hints
from darkroom.log.journal.hints import Hints
from darkroom.log.journal.write import JournalWriter, Report, Saved
from darkroom.log.store import changes, paths
from tests.kit.journals import DAY, OTHER, PLATE, plate_events


def told(home: Path) -> list[Path]:
    """Return the journals in the file of hints, one for each hint."""
    file = home / changes.NAME
    return [home / name for name in file.read_text().splitlines()] if file.exists() else []


def journal(home: Path, plate: str) -> Path:
    """Return a plate's first file."""
    return paths.plate_path(home, plate, DAY)


def test_a_line_is_hinted_at_while_the_writer_goes_on(tmp_path: Path) -> None:
    """Soon after a cause is saved its journal is in the file of hints; nobody closes or flushes anything."""
    writer = JournalWriter(tmp_path, lambda report: None)
    writer.write(PLATE, DAY, plate_events()[:2])
    until = time.monotonic() + 20.0
    while not told(tmp_path) and time.monotonic() < until:
        time.sleep(0.005)
    assert told(tmp_path) == [journal(tmp_path, PLATE)]
    writer.close(5.0)
    assert told(tmp_path) == [journal(tmp_path, PLATE)], "it is given once"


def test_every_journal_is_hinted_at_before_the_writer_is_closed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where it never rests, closing gives what is left, each journal once."""
    monkeypatch.setattr(hints, "REST", 60.0)
    monkeypatch.setattr(hints, "LATEST", 60.0)
    writer = JournalWriter(tmp_path, lambda report: None)
    for event, other in zip(plate_events()[:9], plate_events(OTHER)[:9], strict=True):
        writer.write(PLATE, DAY, [event])
        writer.write(OTHER, DAY, [other])
    assert writer.flush(5.0) and not told(tmp_path)
    writer.close(5.0)
    assert sorted(told(tmp_path)) == sorted([journal(tmp_path, PLATE), journal(tmp_path, OTHER)])


def test_lines_without_a_rest_are_hinted_at_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first of them waits no longer than half a second."""
    now = [100.0]
    monkeypatch.setattr(hints.time, "monotonic", lambda: now[0])
    given = Hints(tmp_path)
    path = journal(tmp_path, PLATE)
    for _ in range(200):
        given.add(path)
        assert not given.are_due(closing=False)
        now[0] += 0.01
    assert 3 <= len(told(tmp_path)) <= 4
    now[0] += hints.REST
    assert given.are_due(closing=False)


def test_saved_is_told_before_the_hint_is_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A hint that takes long holds up no report: it comes after."""
    hinted, saved = threading.Event(), threading.Event()

    def report(what: Report) -> None:
        assert not hinted.is_set()
        saved.set() if isinstance(what, Saved) else None

    monkeypatch.setattr(changes, "add", lambda home, path: hinted.set())
    writer = JournalWriter(tmp_path, report)
    writer.write(PLATE, DAY, plate_events()[:1])
    assert saved.wait(20.0) and hinted.wait(20.0)
    writer.close(5.0)
    assert not writer.report_trouble
