"""A smoothing that does not hide a real change. No clock: time is an argument.

The law, for a value polled every p seconds and a time constant T:

1. The middle one of the last three polls counts, so one wild poll never shows.
2. It is averaged exponentially over the time that has passed: m += (1 − e^(−dt/T)) · (middle − m).
3. When the middle has stood more than `follow` from m at two polls in a row, on the same side, the
   change is real and m takes its value.

So a step is shown to within `follow` at the third poll after it, and one larger than follow · e^(p/T) is
shown whole; on a ramp of r a second m lags by no more than follow + 2·r·p.
"""

from __future__ import annotations

import math
from collections import deque

FOLLOW = 0.3
"""In °C: five times the step of a 12-bit 1-wire sensor, less than any time law here can tell."""
FOLLOW_PERCENT = 2.0
"""The same for relative humidity, in per cent."""


class Smoother:
    """Smooths one sensor's values."""

    def __init__(self, constant: float, follow: float = FOLLOW) -> None:
        self.constant, self.follow = constant, follow
        self.forget()

    def forget(self) -> None:
        """Begin anew with the next value."""
        self._last: deque[float] = deque(maxlen=3)
        self._mean: float | None = None
        self._at = 0.0
        self._beyond = 0

    def take(self, value: float, now: float) -> float:
        """Take a value read at `now` and return the smoothed one."""
        if self.constant <= 0:
            return value
        self._last.append(value)
        middle = sorted(self._last)[1] if len(self._last) == 3 else self._last[0]
        if self._mean is None:
            self._mean, self._at = middle, now
            return middle
        departure = middle - self._mean
        side = (departure > self.follow) - (departure < -self.follow)
        follows = side != 0 and side == self._beyond
        self._beyond = side
        share = 1.0 if follows else 1.0 - math.exp(-max(0.0, now - self._at) / self.constant)
        self._mean += share * departure
        self._at = now
        return self._mean
