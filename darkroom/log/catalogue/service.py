"""The catalogue behind the screens of the review: one thread answers requests, another keeps it up to date.

Neither waits for the other nor for the screen. Only the newest request is answered; older ones that were
not begun are dropped. Every answer comes back on the screen's thread.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom.log.catalogue import worker
from darkroom.log.catalogue.query import Query

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue

PERIOD = 1.0
"""How often the log is looked at for changes, in seconds."""
FIRST_PAGE, PAINTING = 2.0, 0.15
"""So long the reading of changes gives way to the first page at most, and to its painting, in seconds."""
MOST_PAGES = 16
"""So many pages that were shown are kept until the log is looked at."""
Row = dict[str, object]
Deliver = Callable[[Callable[[], None]], None]
"""Runs a callback on the screen's thread."""


class ResultPage(msgspec.Struct, frozen=True, kw_only=True):
    """An answer: the plates from place `first` on, how many answer, how many there are in all.

    `first` is the place of the first of `rows` among all that answer. `problems` counts what is wrong
    with the journals of the log. It `jumped` when it answers a question for a day.
    """

    query: Query
    first: int
    rows: list[Row]
    matching: int
    total: int
    problems: int
    jumped: bool = False


class FillProgress(msgspec.Struct, frozen=True):
    """Progress of the fill: how many plates are read; `checked` once every journal was compared."""

    checked: bool = False
    read: int = 0


class PageRequest(msgspec.Struct, frozen=True):
    """A question: which plates from which place on; `jump` is the day to begin at, instead of `first`."""

    query: Query
    first: int = 0
    limit: int = 100
    jump: str | None = None


class CatalogueService:
    """The log of `home` for one screen. `then` gets pages, `moved` gets how the reading goes.

    `trouble` gets the words for a question that cannot be answered. `close` ends both threads.
    """

    def __init__(
        self,
        home: Path,
        deliver: Deliver,
        on_page: Callable[[ResultPage, bool], None],
        on_progress: Callable[[FillProgress], None],
        on_trouble: Callable[[str], None],
    ) -> None:
        self.home, self._deliver = home, deliver
        self._on_page, self._on_progress, self._on_trouble = on_page, on_progress, on_trouble
        self._wake = threading.Condition()
        self._request: PageRequest | None = None
        self._refresh = False
        self._totals: dict[bool, tuple[int, int]] = {}
        """How many plates and problems the log has, by whether rehearsals are asked for."""
        self._closed = False
        self._was_shown = False
        self._in_memory = False
        """The index cannot be kept up where it is: each thread has its own, in memory."""
        self._shown_pages: list[tuple[str, ...]] = []
        """The first files of the plates on each page since the log was looked at, the last still shown."""
        self._threads = [
            threading.Thread(target=self._run, args=(work,), name=f"log {name}", daemon=True)
            for name, work in (("ask", self._answer), ("look", self._keep_up))
        ]
        for thread in self._threads:
            thread.start()

    def ask(self, request: PageRequest) -> None:
        """Ask for plates; what was asked before and not begun is dropped."""
        with self._wake:
            self._request, self._refresh = request, False
            self._wake.notify_all()

    def close(self) -> None:
        """End both threads; what they are at they finish in the background."""
        with self._wake:
            self._closed = True
            self._wake.notify_all()

    # --- the threads -----------------------------------------------------------------------------

    def _call_on_screen(self, callback: Callable[[], None]) -> None:
        if not self._closed:
            self._deliver(callback)

    def _run(self, work: Callable[[], None]) -> None:
        """Report the error that ended a thread: a log that cannot be read never looks like an empty one."""
        try:
            work()
        except Exception as error:
            text = f"the log cannot be looked at: {error}"
            self._call_on_screen(lambda: self._on_trouble(text))

    def _answer(self) -> None:
        from darkroom.log.catalogue.catalogue import Catalogue

        last: PageRequest | None = None
        with Catalogue(self.home) as catalogue:
            while True:
                with self._wake:
                    while self._request is None and not (self._refresh and last) and not self._closed:
                        self._wake.wait()
                    if self._closed:
                        return
                    request = self._request or last
                    refreshed = self._request is None
                    self._request, self._refresh = None, False
                assert request is not None
                if (catalogue.path is None or self._in_memory) and (refreshed or last is None):
                    catalogue.check()  # in memory: what the other thread read is not in here
                totals = self._totals.get(request.query.rehearsals)
                page = _page(catalogue, request, totals)
                if totals is None:
                    self._totals[request.query.rehearsals] = page.total, page.problems
                last = msgspec.structs.replace(request, first=page.first, jump=None)
                with self._wake:
                    if self._request is not None and not refreshed:
                        continue  # a newer request waits
                    self._shown_pages.append(tuple(os.fsdecode(row["path"]) for row in page.rows))  # type: ignore[arg-type]
                    del self._shown_pages[:-MOST_PAGES]
                self._call_on_screen(partial(self._show, page, refreshed))

    def _show(self, page: ResultPage, refreshed: bool) -> None:
        self._on_page(page, refreshed)
        if not self._was_shown:
            with self._wake:
                self._was_shown = True
                self._wake.notify_all()

    def _keep_up(self) -> None:
        """Compare every journal once, then find what changes: see `LogWatch`."""
        with self._wake:
            self._wake.wait_for(lambda: self._closed or self._was_shown, FIRST_PAGE)
            self._wake.wait_for(lambda: self._closed, PAINTING)
        from darkroom.log.catalogue.catalogue import Catalogue
        from darkroom.log.catalogue.log_watch import LogWatch

        if self._closed:
            return
        with Catalogue(self.home) as catalogue:
            if catalogue.path is None:
                self._use_memory()
            elif not catalogue.whole:
                self._fill(catalogue)
            elif catalogue.read_changes():  # what our own writers named shows at once
                self._refresh_pages()
            changed = catalogue.check()
            self._call_on_screen(lambda: self._on_progress(FillProgress(True)))
            watch = LogWatch(catalogue)
            while not self._closed:
                if catalogue.path is None and not self._in_memory:  # the disk became full, or read-only
                    self._use_memory()
                    changed = 1
                if changed:
                    self._refresh_pages()
                self._wait_period()
                with self._wake:
                    pages, self._shown_pages = self._shown_pages, self._shown_pages[-1:]
                changed = 0 if self._closed else watch.step(time.monotonic(), pages)

    def _use_memory(self) -> None:
        """Have each thread keep a catalogue in memory, and report it."""
        self._in_memory = True
        self._call_on_screen(
            lambda: self._on_trouble("there is nowhere to keep the index: looking takes longer")
        )

    def _refresh_pages(self) -> None:
        """Have the last request answered again, and the totals counted again."""
        with self._wake:
            self._totals.clear()
            self._refresh = True
            self._wake.notify_all()

    def _wait_period(self) -> None:
        """Wait for the next check."""
        until = time.monotonic() + PERIOD
        with self._wake:
            while not self._closed and (remaining := until - time.monotonic()) > 0:
                self._wake.wait(remaining)

    def _fill(self, catalogue: Catalogue) -> None:
        """Fill an empty catalogue in another process, so that the clocks of the bench do not wait."""
        plates_read = -1
        with worker.running(self.home) as program:
            while program.poll() is None and not self._closed:
                plates_before, plates_read = plates_read, catalogue.count()
                self._call_on_screen(partial(self._on_progress, FillProgress(False, plates_read)))
                if plates_read != plates_before:
                    self._refresh_pages()
                self._wait_period()
        self._refresh_pages()


def _page(catalogue: Catalogue, request: PageRequest, totals: tuple[int, int] | None) -> ResultPage:
    """Answer a question; `totals` is how many plates and problems the log has, None to count them anew.

    The plates are counted only where the page does not give the number: a rare word costs one query, not two.
    """
    query = request.query
    first = request.first if request.jump is None else _place(catalogue, query, request.jump)
    rows = catalogue.plates(query, request.limit, first)
    counted = None
    if rows and len(rows) < request.limit:
        matching = first + len(rows)
    elif not rows and first == 0:
        matching = 0
    else:
        matching = counted = catalogue.count(query)
    if not rows and matching:  # asked for beyond the last: it has become less, or the day is before all
        first = matching - 1
        rows = catalogue.plates(query, request.limit, first)
    if totals is None:
        everything = Query(rehearsals=query.rehearsals, order=query.order)
        if counted is None or query != everything:
            counted = catalogue.count(everything)
        totals = counted, catalogue.problem_count()
    return ResultPage(
        query=query,
        first=first if rows else 0,
        rows=rows,
        matching=matching,
        total=totals[0],
        problems=totals[1],
        jumped=request.jump is not None,
    )


def _place(catalogue: Catalogue, query: Query, day: str) -> int:
    """Return the place of the first plate of a day, or of the nearest older one; in the order by day."""
    if query.order == "oldest":
        before = (date.fromisoformat(day) - timedelta(days=1)).isoformat() if day > "0001-01-01" else day
        return catalogue.count(msgspec.structs.replace(query, until=min(query.until or before, before)))
    after = (date.fromisoformat(day) + timedelta(days=1)).isoformat() if day < "9999-12-31" else day
    return catalogue.count(msgspec.structs.replace(query, since=max(query.since or after, after)))
