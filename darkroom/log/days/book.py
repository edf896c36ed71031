"""The day at the bench: what was seen to counts at once, and is written by a thread of its own."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable, Collection
from pathlib import Path

from darkroom.bench.working_day import working_day
from darkroom.errors import DarkroomError
from darkroom.log.days import files
from darkroom.log.days.events import Day, DayEvent, with_line
from darkroom.log.journal import frame

Build = Callable[[int], DayEvent]
"""From the number of a line to the line."""


class DayBook:
    """The day's file of one bench, and the day as it stands.

    With `kept` false (a rehearsal, or beside another tool) nothing is read or written. `trouble` is called
    from another thread with why a line is not saved, and with None when all lines are.
    """

    def __init__(
        self,
        home: Path,
        bench: str,
        *,
        kept: bool = True,
        trouble: Callable[[str | None], None] = lambda text: None,
    ) -> None:
        """Read nothing yet."""
        self.home, self.bench, self.kept, self.trouble = home, bench, kept, trouble
        self._day = Day(date="")
        self._lines: queue.SimpleQueue[tuple[Path, Build] | None] = queue.SimpleQueue()
        self._thread: threading.Thread | None = None
        self._unsaved: list[tuple[Path, Build]] = []
        self._waiting = 0
        self._counting = threading.Lock()

    def day(self, at: str) -> Day:
        """Return the day of an instant, as it stands; its file is read when the day is another."""
        date = working_day(at)
        if date != self._day.date:
            self._day = files.read_day(self.home, date, self.bench)[0] if self.kept else Day(date=date)
        return self._day

    def read_again(self, at: str) -> Day:
        """Return the day with what others wrote meanwhile; while lines wait to be saved, as it stands."""
        if self.kept and not self._waiting:
            self._day = Day(date="")
        return self.day(at)

    def add(self, build: Build, at: str) -> Day:
        """Add a line that happened at `at`; return the day with it. It is written soon, in the background.

        Raises LineError for a text that cannot be written.
        """
        line = build(1)
        frame.encode(line)
        self._day = with_line(self.day(at), line)
        if self.kept:
            with self._counting:
                self._waiting += 1
            if self._thread is None:
                self._thread = threading.Thread(target=self._write, name="day-book", daemon=True)
                self._thread.start()
            self._lines.put((files.path_of(self.home, self._day.date, self.bench), build))
        return self._day

    def last_seen(self, at: str, ids: Collection[str], days: int) -> dict[str, str]:
        """Return {id: the day it was seen to last} for items seen to within `days` days."""
        return files.last_seen(self.home, working_day(at), self.bench, ids, days) if self.kept else {}

    def close(self, timeout: float = 2.0) -> bool:
        """Write what is left, for at most `timeout` seconds; return whether all was written."""
        thread, self._thread = self._thread, None
        if thread is not None:
            self._lines.put(None)
            thread.join(timeout)
            return not thread.is_alive() and not self._unsaved
        return True

    def _write(self) -> None:
        while True:
            line = self._lines.get()
            if line is not None:
                self._unsaved.append(line)
            try:
                while self._unsaved:
                    path, build = self._unsaved[0]
                    files.append(path, lambda n, build=build: [build(n)])  # type: ignore[misc]
                    del self._unsaved[0]
                    with self._counting:
                        self._waiting -= 1
                self.trouble(None)
            except DarkroomError as error:
                self.trouble(str(error))
            if line is None:
                return
