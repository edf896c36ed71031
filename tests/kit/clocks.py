"""The one clock of the tests: it stands until it is moved."""

from __future__ import annotations

from darkroom.devices.clock import stamp


class HandClock:
    """A machine's clocks moved by hand; it may sleep, and its wall clock may be set."""

    def __init__(self, up: float = 1000.0, awake: float | None = None, wall: float = 1.78e9) -> None:
        """Begin at these seconds of the boot clock, of the clock without sleep, and since the epoch."""
        self.up_now, self.awake_now, self.wall_now = up, up if awake is None else awake, wall

    def up(self) -> float:
        """Return the boot clock: it goes on through sleep."""
        return self.up_now

    def up_at(self, instant: float) -> float:
        """Return the boot clock: no time passes between an event and its handling."""
        return self.up_now

    def awake(self) -> float:
        """Return the clock that stands still during sleep."""
        return self.awake_now

    def wall(self) -> float:
        """Return the wall clock."""
        return self.wall_now

    def stamp(self, wall: float) -> str:
        """Return a wall time as RFC 3339 text."""
        return stamp(wall)

    def move(self, seconds: float, *, asleep: bool = False) -> None:
        """Let time pass, in sleep or awake."""
        self.up_now += seconds
        self.wall_now += seconds
        if not asleep:
            self.awake_now += seconds
