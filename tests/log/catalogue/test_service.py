"""The catalogue service: only the newest request is answered, and errors are reported."""

from __future__ import annotations

import shutil
import sqlite3
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from darkroom.log.catalogue import worker
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.service import CatalogueService, FillProgress, PageRequest, ResultPage
from tests.kit import season


class _Receiver:
    """Takes what the service delivers, as a screen would."""

    def __init__(self, home: Path) -> None:
        self.pages: list[ResultPage] = []
        self.progress: list[FillProgress] = []
        self.troubles: list[str] = []
        self.threads: set[str] = set()
        self.service = CatalogueService(
            home,
            self._deliver,
            lambda page, refreshed: self.pages.append(page),
            self.progress.append,
            self.troubles.append,
        )

    def _deliver(self, callback: Callable[[], None]) -> None:
        self.threads.add(threading.current_thread().name)
        callback()

    def until(self, reached: Callable[[], bool], seconds: float = 20.0) -> None:
        """Wait until the condition `reached` holds."""
        end = time.monotonic() + seconds
        while not reached():
            assert time.monotonic() < end, (self.pages[-1:], self.progress[-1:], self.troubles)
            time.sleep(0.01)


def test_the_newest_question_is_answered(home: Path, plates: list[Path]) -> None:
    """Of fifty requests at once the last is answered; most of the others are dropped."""
    receiver = _Receiver(home)
    receiver.until(lambda: receiver.progress[-1:] == [FillProgress(True)])
    before = len(receiver.pages)
    for number in range(50):
        receiver.service.ask(PageRequest(Query(words=str(number)), limit=10))
    receiver.until(lambda: bool(receiver.pages) and receiver.pages[-1].query.words == "49")
    assert len(receiver.pages) - before < 50
    receiver.service.close()
    assert receiver.threads <= {"log ask", "log look"}


def test_a_page_says_its_place_and_how_many_there_are(home: Path, plates: list[Path]) -> None:
    """A page from the middle has the catalogue's plates there, and the counts of all matching plates."""
    receiver = _Receiver(home)
    receiver.until(lambda: receiver.progress[-1:] == [FillProgress(True)])
    receiver.service.ask(PageRequest(Query(order="oldest"), first=20, limit=5))
    receiver.until(lambda: bool(receiver.pages) and receiver.pages[-1].first == 20)
    page = receiver.pages[-1]
    assert [row["number"] for row in page.rows] == [21, 22, 23, 24, 25]
    assert (page.matching, page.total) == (60, 60)
    receiver.service.close()


def test_what_fails_is_told(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An error in a thread is reported to the screen; no empty page is delivered."""

    def broken(self: Catalogue, query: Query | None = None) -> int:
        raise RuntimeError("the catalogue broke")

    monkeypatch.setattr(Catalogue, "count", broken)
    receiver = _Receiver(home)
    receiver.service.ask(PageRequest(Query()))
    receiver.until(lambda: any("the catalogue broke" in words for words in receiver.troubles))
    assert receiver.pages == []
    receiver.service.close()


def test_an_empty_index_is_filled_by_a_program_of_its_own(home: Path, plates: list[Path]) -> None:
    """The worker process fills the catalogue as a check would, and prints nothing."""
    with worker.running(home) as program:
        assert program.wait(30) == 0
    with Catalogue(home) as catalogue:
        assert catalogue.whole and catalogue.count() == 60
        said = catalogue.content()
        catalogue.rebuild()
        assert catalogue.content() == said


@pytest.mark.skipif(sys.platform == "win32", reason="process groups are of POSIX")
def test_it_ends_with_the_page_that_wanted_it(home: Path, plates: list[Path]) -> None:
    """The worker process ends with its block; the next one fills what is missing."""
    with worker.running(home) as program:
        pass
    assert program.returncode is not None
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert catalogue.count() == 60


def test_a_disk_that_becomes_full_hides_no_plate(
    home: Path, plates: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the index becomes read-only both threads go on in memory and show new plates, with a message."""
    full = threading.Event()
    update = Catalogue._update

    def stopped(self: Catalogue, *given: Any, **more: Any) -> int:
        if full.is_set() and self.path is not None:
            error = sqlite3.OperationalError("database or disk is full")
            error.sqlite_errorcode = sqlite3.SQLITE_FULL
            raise error
        return update(self, *given, **more)

    monkeypatch.setattr(Catalogue, "_update", stopped)
    receiver = _Receiver(home)
    receiver.until(lambda: receiver.progress[-1:] == [FillProgress(True)])
    receiver.service.ask(PageRequest(Query(), limit=5))
    receiver.until(lambda: bool(receiver.pages) and receiver.pages[-1].matching == 60)
    full.set()
    folder = home / "plates" / "2027" / "2027-01-01"
    folder.mkdir(parents=True)
    for path in season.write(tmp_path / "other", 3, seed=9, days=1):
        shutil.copy(path, folder / path.name.replace("2026", "2027", 1))
    receiver.until(lambda: receiver.pages[-1].matching == 63, 10.0)
    assert any("nowhere to keep the index" in words for words in receiver.troubles)
    receiver.service.close()
