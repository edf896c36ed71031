"""The catalogue behind the screens of the review: asked in one thread, kept up in another.

Neither waits for the other nor for the screen. The newest question is answered; those before it that
were not begun are dropped. Every answer comes back on the screen's thread.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom.log.catalogue import worker
from darkroom.log.catalogue.query import Query

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue

PERIOD = 1.0
"""The log is looked at anew this often, in seconds."""
REST = 4.0
"""After a look at every journal the next comes this many times its own length later, at the earliest."""
Row = dict[str, object]
Deliver = Callable[[Callable[[], None]], None]
"""Carries out what it is given on the screen's thread."""


class ResultPage(msgspec.Struct, frozen=True, kw_only=True):
    """An answer: the plates from place `first` on, how many answer, how many there are in all.

    `first` is the place of the first of `rows` among all that answer. `problems` counts what is wrong
    with the journals of the log. It `jumped` when it answers a question for a day.
    """

    query: Query
    first: int
    rows: list[Row]
    found: int
    total: int
    problems: int
    jumped: bool = False


class FillProgress(msgspec.Struct, frozen=True):
    """How the reading goes: so many plates are read; `checked` once every journal was looked at."""

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
        then: Callable[[ResultPage, bool], None],
        moved: Callable[[FillProgress], None],
        trouble: Callable[[str], None],
    ) -> None:
        self.home, self._deliver = home, deliver
        self._then, self._moved, self._trouble = then, moved, trouble
        self._wake = threading.Condition()
        self._asked: PageRequest | None = None
        self._again = False
        self._log: dict[bool, tuple[int, int]] = {}
        """How many plates and problems the log has, by whether rehearsals are asked for."""
        self._closed = False
        self._aside = False
        """The index cannot be kept up where it is: each thread has its own, in memory."""
        self._seen: tuple[str, ...] = ()
        self._threads = [
            threading.Thread(target=self._run, args=(work,), name=f"log {name}", daemon=True)
            for name, work in (("ask", self._answer), ("look", self._keep_up))
        ]
        for thread in self._threads:
            thread.start()

    def ask(self, asked: PageRequest) -> None:
        """Ask for plates; what was asked before and not begun is dropped."""
        with self._wake:
            self._asked, self._again = asked, False
            self._wake.notify_all()

    def close(self) -> None:
        """End both threads; what they are at they finish in the background."""
        with self._wake:
            self._closed = True
            self._wake.notify_all()

    # --- the threads -----------------------------------------------------------------------------

    def _tell(self, what: Callable[[], None]) -> None:
        if not self._closed:
            self._deliver(what)

    def _run(self, work: Callable[[], None]) -> None:
        """Say what ended a thread: a log that cannot be looked at is never taken for an empty one."""
        try:
            work()
        except Exception as error:
            words = f"the log cannot be looked at: {error}"
            self._tell(lambda: self._trouble(words))

    def _answer(self) -> None:
        from darkroom.log.catalogue.catalogue import Catalogue

        last: PageRequest | None = None
        with Catalogue(self.home) as catalogue:
            while True:
                with self._wake:
                    while self._asked is None and not (self._again and last) and not self._closed:
                        self._wake.wait()
                    if self._closed:
                        return
                    asked = self._asked or last
                    anew = self._asked is None
                    self._asked, self._again = None, False
                assert asked is not None
                if (catalogue.path is None or self._aside) and (anew or last is None):
                    catalogue.check()  # in memory: what the other thread read is not in here
                log = self._log.get(asked.query.rehearsals)
                page = _page(catalogue, asked, log)
                if log is None:
                    self._log[asked.query.rehearsals] = page.total, page.problems
                last = msgspec.structs.replace(asked, first=page.first, jump=None)
                with self._wake:
                    if self._asked is not None and not anew:
                        continue  # what is asked now is another question
                    self._seen = tuple(os.fsdecode(row["path"]) for row in page.rows)  # type: ignore[arg-type]
                self._tell(lambda page=page, anew=anew: self._then(page, anew))  # type: ignore[misc]

    def _keep_up(self) -> None:
        """Look every second at what the writers tell of, and at every journal as often as its cost allows."""
        from darkroom.log.catalogue.catalogue import Catalogue

        with Catalogue(self.home) as catalogue:
            if catalogue.path is None:
                self._nowhere()
            elif not catalogue.whole:
                self._fill(catalogue)
            elif catalogue.look(self._seen):  # what our own writers told of shows at once
                self._changed()
            due = 0.0
            while not self._closed:
                begun = time.monotonic()
                if begun >= due:
                    changed = catalogue.check()
                    due = time.monotonic() + max(PERIOD, REST * (time.monotonic() - begun))
                    self._tell(lambda: self._moved(FillProgress(True)))
                else:
                    changed = catalogue.look(self._seen)
                if catalogue.path is None and not self._aside:  # the disk became full, or read-only
                    self._nowhere()
                    changed = 1
                if changed:
                    self._changed()
                self._rest()

    def _nowhere(self) -> None:
        """Have the other thread look for itself too, and say so."""
        self._aside = True
        self._tell(lambda: self._trouble("there is nowhere to keep the index: looking takes longer"))

    def _changed(self) -> None:
        """Have the last question answered anew, and the log counted anew for the next."""
        with self._wake:
            self._log.clear()
            self._again = True
            self._wake.notify_all()

    def _rest(self) -> None:
        """Wait for the next turn."""
        until = time.monotonic() + PERIOD
        with self._wake:
            while not self._closed and (left := until - time.monotonic()) > 0:
                self._wake.wait(left)

    def _fill(self, catalogue: Catalogue) -> None:
        """Have an empty catalogue filled by a program of its own: the clocks of the bench do not wait."""
        read = -1
        with worker.begun(self.home) as program:
            while program.poll() is None and not self._closed:
                before, read = read, catalogue.count()
                self._tell(lambda read=read: self._moved(FillProgress(False, read)))  # type: ignore[misc]
                if read != before:
                    self._changed()
                self._rest()
        self._changed()


def _page(catalogue: Catalogue, asked: PageRequest, log: tuple[int, int] | None) -> ResultPage:
    """Answer a question; `log` is how many plates and problems the log has, None to count them anew.

    The plates are counted only where those of the page do not tell: a scarce word costs one look, not two.
    """
    query = asked.query
    first = asked.first if asked.jump is None else _place(catalogue, query, asked.jump)
    rows = catalogue.plates(query, asked.limit, first)
    if rows and len(rows) < asked.limit:
        found = first + len(rows)
    elif not rows and first == 0:
        found = 0
    else:
        found = catalogue.count(query)
    if not rows and found:  # asked for beyond the last: it has become less, or the day is before all
        first = found - 1
        rows = catalogue.plates(query, asked.limit, first)
    if log is None:
        everything = msgspec.structs.replace(Query(), rehearsals=query.rehearsals)
        log = catalogue.count(everything), catalogue.problem_count()
    return ResultPage(
        query=query,
        first=first if rows else 0,
        rows=rows,
        found=found,
        total=log[0],
        problems=log[1],
        jumped=asked.jump is not None,
    )


def _place(catalogue: Catalogue, query: Query, day: str) -> int:
    """Return the place of the first plate of a day, or of the nearest older one; in the order by day."""
    if query.order == "oldest":
        before = (date.fromisoformat(day) - timedelta(days=1)).isoformat() if day > "0001-01-01" else day
        return catalogue.count(msgspec.structs.replace(query, until=min(query.until or before, before)))
    after = (date.fromisoformat(day) + timedelta(days=1)).isoformat() if day < "9999-12-31" else day
    return catalogue.count(msgspec.structs.replace(query, since=max(query.since or after, after)))
