"""A rehearsal: the bench without chemistry, on a fast clock, with liquids that drift by themselves."""

from __future__ import annotations

from darkroom.session.liquids import Liquids
from darkroom.session.protocols import SessionClock

TEMPERATURE_CHANGE = 0.2
"""Changes of this much are told, in °C, as the thermometers do."""
HUMIDITY_CHANGE = 2.0
"""Changes of this much are told, in per cent."""
TELL_EVERY = 60.0
NAME = "rehearsal"
"""Where a simulated reading is from, on screen and in the log."""


class FastClock:
    """A clock that runs `speed` times as fast as the machine's, from the instant it is made.

    `up` is start + (real − start) · speed, and `awake` likewise. The wall clock runs ahead by what
    `up` has gained, so a step of the machine's wall clock is a step of the same size here.
    """

    def __init__(self, real: SessionClock, speed: float) -> None:
        if not speed > 0:
            raise ValueError(f"a clock does not run at {speed:g} times its speed")
        self.real, self.speed = real, speed
        self._up, self._awake = real.up(), real.awake()

    def up(self) -> float:
        """Return the fast boot clock, in seconds."""
        return self._up + (self.real.up() - self._up) * self.speed

    def up_at(self, instant: float) -> float:
        """Return the fast boot clock at an instant of `time.monotonic()`, a moment ago."""
        return self._up + (self.real.up_at(instant) - self._up) * self.speed

    def awake(self) -> float:
        """Return the fast clock that stands still while the machine sleeps, in seconds."""
        return self._awake + (self.real.awake() - self._awake) * self.speed

    def wall(self) -> float:
        """Return the fast wall time, seconds since the epoch."""
        real = self.real.up()
        return self.real.wall() + (real - self._up) * (self.speed - 1.0)

    def stamp(self, wall: float) -> str:
        """Return a wall time as RFC 3339 text with the local offset and milliseconds."""
        return self.real.stamp(wall)

    def real_up(self, up: float) -> float:
        """Return the machine's `up` at an instant of the fast clock: when a sound is to be heard."""
        return self._up + (up - self._up) / self.speed


class Rehearsal:
    """What makes a sitting a rehearsal: its speed, whether it teaches, and its liquids.

    `liquids` is a `Liquids` by the fast clock, or None for liquids that stay as they are typed.
    """

    def __init__(self, speed: float = 20.0, guided: bool = False, liquids: Liquids | None = None) -> None:
        self.speed, self.guided, self.liquids = speed, guided, liquids
        self._last_told: dict[str, tuple[float, float]] = {}

    def clock(self, real: SessionClock) -> FastClock:
        """Return the clock of this rehearsal; its liquids begin now."""
        fast = FastClock(real, self.speed)
        if self.liquids is not None:
            self.liquids.start = fast.up()
        return fast

    def due(self, now: float) -> list[tuple[str, float]]:
        """Return [(source, °C or, for humidity, per cent)] that a thermometer would tell at `now`.

        `now` is by the fast clock. What changed by 0.2 °C (2 % of humidity), and each value once a
        minute; values are rounded as a 12-bit thermometer shows them.
        """
        if self.liquids is None:
            return []
        due_readings = []
        values = {**self.liquids.at(now), "humidity": self.liquids.humidity(now)}
        for source, exact in values.items():
            value = round(exact) if source == "humidity" else round(exact * 16) / 16
            smallest_change = HUMIDITY_CHANGE if source == "humidity" else TEMPERATURE_CHANGE
            last_told = self._last_told.get(source)
            if (
                last_told is None
                or abs(value - last_told[0]) >= smallest_change
                or now - last_told[1] >= TELL_EVERY
            ):
                self._last_told[source] = (value, now)
                due_readings.append((source, float(value)))
        return due_readings
