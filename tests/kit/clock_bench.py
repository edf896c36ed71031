"""A plate at the bench while clocks are stepped, the machine sleeps and the tool is stopped."""

from __future__ import annotations

import signal
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from tests.kit.letters import time_is_shown
from tests.kit.photographer import Photographer, journal, shortened
from tests.kit.shifted_clock import ShiftedClock

EXACT = 0.05
"""Seconds by which a time may be wrong."""
MARK = "6"
PATIENCE = 60.0


class ClockBench:
    """A plate whose coating runs from `begin` on, in a program with clocks of its own."""

    def __init__(self, folder: Path, zone: str = "Europe/Berlin", columns: int = 100, rows: int = 24) -> None:
        self.clock = ShiftedClock(folder)
        self.folder, self.home, self.size = folder, folder / "home", (columns, rows)
        self.hand = self._tool(zone)

    def _tool(self, zone: str) -> Photographer:
        return Photographer(self.home, *self.size, TZ=zone, **self.clock.env)

    def begin(self, *words: str) -> None:
        """Put the plate on the bench and begin its first stage."""
        self.hand.open("bench", str(shortened(self.folder)), *words)
        self.hand.strike("sensitise")

    def killed_and_back(self, zone: str) -> dict[str, Any]:
        """Kill the tool, open it in another zone, return the line of the plate's return."""
        self.hand.terminal.kill(signal.SIGKILL)
        self.hand.terminal.wait(PATIENCE)
        self.hand.terminal.close()
        self.hand = self._tool(zone)
        self.hand.terminal.spawn(self.hand.program)
        before = len(self.lines("resumed"))
        return self.until("resumed", before)

    def lines(self, event: str) -> list[dict[str, Any]]:
        """Return the plate's lines of a kind."""
        plates = journal(self.home)
        return [line for line in plates[0] if line["event"] == event] if plates else []

    def until(self, event: str, before: int, timeout: float = PATIENCE) -> dict[str, Any]:
        """Wait until there are more than `before` lines of a kind; return the next."""
        self.hand.terminal.wait_until(lambda: len(self.lines(event)) > before, timeout)
        return self.lines(event)[before]

    def clock_line(self, act: Callable[[], object]) -> dict[str, Any]:
        """Do something to the clocks; return the line that tells of it."""
        before = len(self.lines("clock"))
        act()
        return self.until("clock", before)

    def stop(self, seconds: float, press: bool = False) -> float:
        """Stop the tool for so long, with a mark pressed meanwhile; return the seconds it surely stood."""
        self.hand.terminal.kill(signal.SIGSTOP)
        begun = time.monotonic()
        if press:
            self.hand.press(MARK)
        time.sleep(max(0.0, begun + seconds - time.monotonic()))
        stood = time.monotonic() - begun
        self.hand.terminal.kill(signal.SIGCONT)
        return stood

    def mark(self) -> dict[str, Any]:
        """Press mark; return its line."""
        before = len(self.lines("mark"))
        self.hand.press(MARK)
        line = self.until("mark", before)
        self.hand.last = time.monotonic()  # a key that was read late is nearer to the next
        return line

    def time_is_right(self) -> bool:
        """Wait until the time shown is that since the stage began, by a clock that no step changes."""
        begun = self.lines("stage_started")[-1]["up"]

        def shown(screen: str) -> bool:
            seconds = int(self.clock.up() - begun)
            return any(time_is_shown(screen, _text(at), *self.size) for at in (seconds, seconds - 1))

        try:
            self.hand.terminal.wait_for(shown)
        except TimeoutError:
            return False
        return True

    def wall_error(self, line: dict[str, Any]) -> float:
        """Return how far a line's wall time is from its instant on the boot clock, in seconds."""
        wall = datetime.fromisoformat(line["at"]).timestamp()
        return abs((wall - line["up"]) - (self.clock.wall() - self.clock.up()))


def _text(seconds: int) -> str:
    hours, rest = divmod(seconds, 3600)
    return f"{hours}:{rest // 60:02d}:{rest % 60:02d}" if hours else f"{rest // 60}:{rest % 60:02d}"
