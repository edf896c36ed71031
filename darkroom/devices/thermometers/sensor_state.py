"""What is believed of one sensor: its last good reading, and what is said when a poll gives none.

No clock, no disk: time is an argument. The law:

- Outside what a darkroom can have a value is absurd.
- A value further from the last good one than a liquid can go is a jump. It is not taken, and said,
  until three polls running agree with each other: then the probe was moved, and it is taken.
- What is taken is smoothed and told when it has changed by a fifth of a degree (2 per cent for
  humidity), after a trouble, and once a minute.
- A trouble is told at once, again when its kind changes, and once a minute with the age of the last
  good reading, which is kept.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from darkroom.devices.thermometers.sensor import Binding, SensorError, Why
from darkroom.devices.thermometers.smoothing import FOLLOW, FOLLOW_PERCENT, Smoother

TELL_EVERY = 60.0
AGREE = 3
"""So many polls running make a jump a fact."""
DRIFT = 0.1
"""°C (or per cent) a second that a value may change beyond a jump while it was not read: a probe
carried from a cold tray to a warm one while the machine slept."""


@dataclass(frozen=True)
class Limits:
    """What is believed of a quantity: its range, the least jump, the least change that is told."""

    least: float
    most: float
    jump: float
    tell: float
    follow: float
    unit: str


CELSIUS = Limits(-10.0, 60.0, 5.0, 0.2, FOLLOW, "°C")
PERCENT = Limits(0.5, 105.0, 15.0, 2.0, FOLLOW_PERCENT, "%")
"""Sensors overshoot in saturated air: up to 105 % is read as 100. A nought is no darkroom's air."""


@dataclass(frozen=True)
class SensorReading:
    """A value that counts: °C, or per cent where `source` is humidity. `up` is when it was read."""

    source: str
    value: float
    name: str
    up: float
    humid: bool = False

    @property
    def celsius(self) -> float | None:
        """The temperature, None for a humidity."""
        return None if self.humid else self.value

    @property
    def percent(self) -> float | None:
        """The relative humidity, None for a temperature."""
        return self.value if self.humid else None


@dataclass(frozen=True)
class Trouble:
    """A sensor that gives nothing to believe: why, its last good value and that value's age in seconds."""

    source: str
    why: str
    last_good: float | None
    age: float | None
    name: str
    kind: Why
    up: float


class SensorState:
    """Judges one sensor's polls."""

    def __init__(self, binding: Binding) -> None:
        self.binding = binding
        self.limits = PERCENT if binding.humid else CELSIUS
        self.last: SensorReading | None = None
        self.trouble: Trouble | None = None
        self._smoother = Smoother(binding.smoothing, self.limits.follow)
        self._raw: tuple[float, float] | None = None
        self._jumped: list[float] = []
        self._told: tuple[float, float] | None = None
        self._said_at = -math.inf

    def took(self, raw: float, now: float) -> SensorReading | Trouble | None:
        """Take what a poll at `now` gave; return what is to be told, if anything."""
        limits = self.limits
        if not (math.isfinite(raw) and limits.least <= raw <= limits.most):
            self._jumped.clear()
            what = f"{raw:.1f} {limits.unit} is absurd" if math.isfinite(raw) else "no number"
            return self.failed(SensorError(what, "absurd"), now)
        raw = min(raw, 100.0) if self.binding.humid else raw
        if self._raw is not None and abs(raw - self._raw[0]) > self._allowed(now):
            if self._jumped and abs(raw - self._jumped[-1]) > limits.jump:
                self._jumped.clear()
            self._jumped.append(raw)
            if len(self._jumped) < AGREE:
                what = f"jumped from {self._raw[0]:.1f} to {raw:.1f} {limits.unit}: not taken yet"
                return self.failed(SensorError(what, "jump"), now)
            self._smoother.forget()
        self._jumped.clear()
        self._raw = (raw, now)
        value = round(self._smoother.take(raw, now), 2)
        self.last = SensorReading(self.binding.source, value, self.binding.called, now, self.binding.humid)
        recovered, self.trouble = self.trouble is not None, None
        last_told = self._told
        changed = last_told is None or abs(value - last_told[0]) >= limits.tell - 1e-9
        if changed or recovered or (last_told is not None and now - last_told[1] >= TELL_EVERY):
            self._told = (value, now)
            return self.last
        return None

    def failed(self, error: SensorError, now: float) -> Trouble | None:
        """Take a poll at `now` that gave nothing; return what is to be told, if anything."""
        before, last = self.trouble, self.last
        self.trouble = Trouble(
            self.binding.source,
            error.reason,
            last.value if last else None,
            now - last.up if last else None,
            self.binding.called,
            error.kind,
            now,
        )
        if before is not None and before.kind == error.kind and now - self._said_at < TELL_EVERY:
            return None
        self._said_at = now
        return self.trouble

    def _allowed(self, now: float) -> float:
        gap = now - self._raw[1] if self._raw else 0.0
        return self.limits.jump + DRIFT * max(0.0, gap - 2 * self.binding.every)
