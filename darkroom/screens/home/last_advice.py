"""What the last plates said to change next time: for the home screen, before the next plate of a process."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

NEWEST = 200
"""So many plates are looked back at, no more: what an older one said is no longer next time."""


class Advice(NamedTuple):
    """What a plate said to change: its words, and the exposure in seconds that it proposes, where it does."""

    words: str
    seconds: float | None = None
    note: str = ""
    """The words without the exposure: what else is to be changed."""

    @property
    def text(self) -> str:
        """The words, and the time where one is proposed."""
        from darkroom.process.text.durations import show_short

        return self.words + ("" if self.seconds is None else f": {show_short(self.seconds)}")


def latest_advice(home: Path, newest: int = NEWEST) -> dict[str, Advice]:
    """Return {process: advice} from the newest plate of each process that says what to change.

    Reads journals, the newest first. Raises nothing: a journal that tells nothing is passed over.
    """
    from darkroom.bench.next_plate import got, proposed_seconds, stops_text
    from darkroom.log.journal.find import newest as newest_plates
    from darkroom.log.journal.merge import read_plate
    from darkroom.log.plate.account import folded
    from darkroom.log.plate.record import judge
    from darkroom.process.text.plain_text import plain

    advice: dict[str, Advice] = {}
    for path in newest_plates(home, newest):
        log = read_plate(path)
        start = log.start
        name = str(start.process.get("name", "")) if start else ""
        if not start or name in advice:
            continue
        judged = judge(log.standing)
        suggestions = [plain(next_text)] if (next_text := judged.detail("next")) else []
        seconds: float | None = None
        if judged.next_stops:
            state = folded(log).state
            exposed = None if state is None else got(state)
            seconds = None if exposed is None else proposed_seconds(exposed, judged.next_stops)
            suggestions.append(stops_text(judged.next_stops))
        if suggestions:
            said = f"from plate {start.number}: "
            note = f"{said}{plain(next_text)}" if next_text else ""
            advice[name] = Advice(said + ", ".join(suggestions), seconds, note)
    return advice


class AdviceReader:
    """Asks in a thread of its own, so that the home screen never waits for the log."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self._advice: dict[str, Advice] = {}
        self._asking = threading.Lock()

    @property
    def known(self) -> bool:
        """Whether any plate said anything."""
        return bool(self._advice)

    def of(self, process: str) -> Advice | None:
        """Return the advice for a process, by its name; None while nothing is known."""
        return self._advice.get(process)

    def ask(self, deliver: Callable[[Callable[[], None]], None], on_read: Callable[[], None]) -> None:
        """Read what the last plates said; `on_read` is called on the screen's thread when it is known."""

        def read_log() -> None:
            if not self._asking.acquire(blocking=False):
                return
            try:
                self._advice = latest_advice(self.home)
            finally:
                self._asking.release()
            deliver(on_read)

        threading.Thread(target=read_log, name="advice", daemon=True).start()
