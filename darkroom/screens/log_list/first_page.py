"""The first page of the list, which may be asked for while the toolkit is being loaded."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from darkroom.log.catalogue import filter
from darkroom.log.catalogue.service import CatalogueService, Deliver, FillProgress, PageRequest, ResultPage

AROUND = 5
"""Rows of the screen that hold no plate: the heading, the filter, the heads, what is known, the keys."""


class Taker(Protocol):
    """Who takes what the catalogue says, on the screen's thread."""

    def take_page(self, page: ResultPage, anew: bool) -> None:
        """Take plates."""

    def take_progress(self, progress: FillProgress) -> None:
        """Take how the reading goes."""

    def take_trouble(self, text: str) -> None:
        """Take why a question is not answered."""


def first_request(text: str, lines: int) -> PageRequest:
    """Return what a screen of so many lines will ask for, with a filter typed."""
    return PageRequest(filter.parse(text, "newest").query, 0, 3 * max(1, lines - AROUND))


class FirstPage:
    """A catalogue that is asked for the first page; its answers wait for a screen."""

    def __init__(self, home: Path, request: PageRequest) -> None:
        """Ask; the catalogue's service goes on until its `close`."""
        self.request = request
        self._lock = threading.Lock()
        self._waiting: list[Callable[[], None]] = []
        self._taker: tuple[Deliver, Taker] | None = None
        self.service = CatalogueService(
            home, self._deliver, self._take_page, self._take_progress, self._take_trouble
        )
        self.service.ask(self.request)

    def attach(self, deliver: Deliver, taker: Taker) -> None:
        """Give everything to `taker` from now on, at once what waits; called on the screen's thread."""
        with self._lock:
            self._taker = deliver, taker
            waiting, self._waiting = self._waiting, []
        for callback in waiting:
            callback()

    def _deliver(self, callback: Callable[[], None]) -> None:
        with self._lock:
            if self._taker is None:
                self._waiting.append(callback)
                return
            deliver = self._taker[0]
        deliver(callback)

    def _take_page(self, page: ResultPage, anew: bool) -> None:
        if self._taker is not None:
            self._taker[1].take_page(page, anew)

    def _take_progress(self, progress: FillProgress) -> None:
        if self._taker is not None:
            self._taker[1].take_progress(progress)

    def _take_trouble(self, text: str) -> None:
        if self._taker is not None:
            self._taker[1].take_trouble(text)
