"""What the last plates said to change next time, and the fault that they have.

For the home screen, before the next plate of a process.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from darkroom.process.text.plain_text import plain
from darkroom.screens.why_failed import failed_since

if TYPE_CHECKING:
    from darkroom.bench.state import PlateState

NEWEST = 200
"""So many plates are looked back at, no more: what an older one said is no longer next time."""


class Advice(NamedTuple):
    """What was said to change: its words, and the exposure in seconds that is proposed, where one is."""

    words: str
    seconds: float | None = None
    note: str = ""
    """The words without the exposure: what else is to be changed."""
    source: str = ""
    """The plate that the exposure is from: "from plate 3"."""
    stops: float | None = None
    """By how many stops it differs from what that plate got; None without one."""

    @property
    def text(self) -> str:
        """The words, and the time where one is proposed."""
        from darkroom.process.text.durations import show_short

        return self.words + ("" if self.seconds is None else f": {show_short(self.seconds)}")


class _Found:
    """What the plates of one process said, the newest first, as far as it was looked for."""

    def __init__(self, newest: PlateState | None) -> None:
        self.newest = newest
        self.note = self.note_from = self.source = ""
        self.stops: float | None = None
        self.seconds: float | None = None

    def advice(self) -> Advice | None:
        from darkroom.bench.next_plate import stops_text

        note = f"{self.note_from}: {self.note}" if self.note else ""
        if self.stops is None:
            return Advice(note, None, note) if note else None
        change = stops_text(self.stops)
        if not note:
            words = f"{self.source}: {change}"
        else:
            words = (
                f"{note}, {change}" if self.note_from == self.source else f"{note}; {self.source}: {change}"
            )
        return Advice(words, self.seconds, note, self.source, self.stops)


def latest_advice(home: Path, newest: int = NEWEST) -> dict[str, Advice]:
    """Return {process: advice} from the newest plates of each process.

    The exposure is that of the newest judged plate like the last one, as the bench proposes it; what else is
    to be changed is of the newest plate that says so, unless a newer one wants another exposure. Reads
    journals, the newest first. Raises nothing: a journal that tells nothing is passed over.
    """
    from darkroom.bench.next_plate import got, is_alike, proposed_seconds
    from darkroom.log.journal.find import newest as newest_plates
    from darkroom.log.journal.merge import read_plate
    from darkroom.log.plate.account import folded
    from darkroom.log.plate.record import judge

    processes: dict[str, _Found] = {}
    for path in newest_plates(home, newest):
        log = read_plate(path)
        name = str(log.start.process.get("name", "")) if log.start else ""
        if log.start is None:
            continue
        if name not in processes:
            processes[name] = _Found(folded(log).state)
        found, judged, source = processes[name], judge(log.standing), f"from plate {log.start.number}"
        if not found.note and not found.stops and (note := judged.detail("next")):
            found.note, found.note_from = plain(note), source
        if found.stops is not None or judged.next_stops is None:
            continue
        state = folded(log).state
        if state is not None and found.newest is not None and not is_alike(state, found.newest):
            continue
        exposed = None if state is None else got(state)
        if exposed is not None or judged.next_stops:
            found.stops, found.source = judged.next_stops, source
            found.seconds = None if exposed is None else proposed_seconds(exposed, judged.next_stops)
    advice = {name: found.advice() for name, found in processes.items()}
    return {name: told for name, told in advice.items() if told is not None}


class AdviceReader:
    """Asks in a thread of its own, so that the home screen never waits for the log."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self._advice: dict[str, Advice] = {}
        self._faults: dict[str, str] = {}
        """{process: since when its plates have a fault and what to try}."""
        self._waiting: list[tuple[Callable[[Callable[[], None]], None], Callable[[], None]]] = []
        """Who is told when something is known."""
        self._running = self._again = False
        self._forgotten = 0
        """How often it was forgotten: what was being read then is as old as what was known."""
        self._storing = threading.Lock()

    @property
    def known(self) -> bool:
        """Whether any plate said anything."""
        return bool(self._advice)

    def of(self, process: str) -> Advice | None:
        """Return the advice for a process, by its name; None while nothing is known."""
        return self._advice.get(process)

    @property
    def busy(self) -> bool:
        """Whether the log is being read."""
        return self._running

    @property
    def faults_known(self) -> bool:
        """Whether the newest plates of any process have a fault that is told."""
        return bool(self._faults)

    def fault_of(self, process: str) -> str:
        """Return since when the plates of a process have a fault and what to try; nothing without one."""
        return self._faults.get(process, "")

    def forget(self) -> None:
        """Forget what was said: a plate was judged since, and the log does not hold it yet."""
        with self._storing:
            self._advice, self._faults = {}, {}
            self._forgotten += 1

    def ask(self, deliver: Callable[[Callable[[], None]], None], on_read: Callable[[], None]) -> None:
        """Read what the last plates said, then why they failed, which takes longer.

        `on_read` is called on the screen's thread when either is known.
        """

        with self._storing:
            self._waiting.append((deliver, on_read))
            self._again = self._running  # what is being read may be older than the question
            if self._running:
                return
            self._running = True
        threading.Thread(target=self._read_log, name="advice", daemon=True).start()

    def _read_log(self) -> None:
        while True:
            with self._storing:
                forgotten, asked = self._forgotten, list(self._waiting)
            read = False
            try:
                advice = latest_advice(self.home)
                with self._storing:
                    if forgotten == self._forgotten:
                        self._advice = advice
                _tell(asked)
                faults = {process: plain(since.text) for process, since in failed_since(self.home).items()}
                with self._storing:
                    told = forgotten == self._forgotten and faults != self._faults
                    if told:
                        self._faults = faults
                if told:
                    _tell(asked)
                read = True
            finally:  # after an error this thread ends, and the next question begins another
                with self._storing:
                    del self._waiting[: len(asked)]
                    again, self._again = self._again and read, False
                    self._running = again
            if not again:
                return


def _tell(asked: list[tuple[Callable[[Callable[[], None]], None], Callable[[], None]]]) -> None:
    for deliver, on_read in asked:
        deliver(on_read)
