"""The clocks of the machine: one that goes on through sleep, one that does not, and the wall's.

`up` is CLOCK_BOOTTIME on Linux, CLOCK_MONOTONIC on macOS (where it goes on through sleep) and the
tick count on Windows; `awake` stands still while the machine sleeps.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import Literal, Protocol

ClockChange = Literal["slept", "stepped", "stalled"]


def _boot_clock() -> Callable[[], float]:
    if sys.platform == "linux":
        return lambda: time.clock_gettime(time.CLOCK_BOOTTIME)
    if sys.platform == "win32":
        import ctypes

        ticks = ctypes.windll.kernel32.GetTickCount64
        ticks.restype = ctypes.c_uint64
        return lambda: ticks() / 1000.0
    return lambda: time.clock_gettime(time.CLOCK_MONOTONIC)


def _awake_clock() -> Callable[[], float]:
    if sys.platform == "linux":
        return lambda: time.clock_gettime(time.CLOCK_MONOTONIC)
    return time.monotonic


class Clock:
    """The real clocks; a test or a rehearsal passes an object with the same methods."""

    def __init__(self) -> None:
        self.up: Callable[[], float] = _boot_clock()
        self.awake: Callable[[], float] = _awake_clock()

    def up_at(self, instant: float) -> float:
        """Return `up` at an instant of `time.monotonic()` since which the machine has not slept."""
        return self.up() - max(0.0, time.monotonic() - instant)

    def wall(self) -> float:
        """Return the wall clock as seconds since the epoch."""
        return time.time()

    def stamp(self, wall: float) -> str:
        """Return a wall time as RFC 3339 text with the local offset and milliseconds."""
        return stamp(wall)


def stamp(wall: float) -> str:
    """Return seconds since the epoch as RFC 3339 text with the local offset and milliseconds.

    The zone may change while the program runs, so the offset is looked up once; time and offset belong
    together. Where it is a day or more, which no date can say, the time is in UTC.
    """
    from datetime import UTC, datetime  # the sound player asks for `up` alone

    universal = datetime.fromtimestamp(wall, UTC)
    try:
        return universal.astimezone().isoformat(timespec="milliseconds")
    except (ValueError, OverflowError):
        return universal.isoformat(timespec="milliseconds")


class ClockReadings(Protocol):
    """What the watch asks of a clock: seconds of its boot, monotonic and wall clock."""

    def up(self) -> float:
        """Return the boot clock."""

    def awake(self) -> float:
        """Return the clock that stands still during sleep."""

    def wall(self) -> float:
        """Return the wall clock."""


class Watch:
    """Notices what the clocks did between two looks: sleep, a step of the wall clock, a stall.

    `look()` returns (kind, seconds) pairs; `slept` and `stalled` seconds are how long, `stepped`
    seconds are signed. Differences under `least` seconds of the machine's own time are nothing;
    `speed` is how many seconds of `clock` pass in one of the machine's.
    """

    def __init__(
        self, clock: ClockReadings, least: float = 0.5, stall: float = 1.0, *, speed: float = 1.0
    ) -> None:
        self.clock, self.least, self.stall = clock, least * speed, stall * speed
        self._take()

    def _take(self) -> None:
        clock = self.clock
        self.up, self.awake, self.wall = clock.up(), clock.awake(), clock.wall()

    def look(self) -> list[tuple[ClockChange, float]]:
        """Return what happened since the last look, sleep first."""
        up, awake, wall = self.up, self.awake, self.wall
        self._take()
        changes: list[tuple[ClockChange, float]] = []
        slept = (self.up - up) - (self.awake - awake)
        if slept > self.least:
            changes.append(("slept", slept))
        stepped = (self.wall - wall) - (self.up - up)
        if abs(stepped) > self.least:
            changes.append(("stepped", stepped))
        stalled = self.awake - awake
        if stalled > self.stall:
            changes.append(("stalled", stalled))
        return changes
