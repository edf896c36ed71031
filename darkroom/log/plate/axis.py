"""The time axis of a plate: seconds to places across a page; long waits are shortened. Pure."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable

LONGEST = 900.0
"""A longer stretch in which nothing begins or ends is drawn as short as one of so many seconds."""
_STEPS = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600)


class Axis:
    """Maps instants to places between `left` and `right`, linear but for the stretches in `breaks`."""

    def __init__(self, instants: Iterable[float], left: float, right: float) -> None:
        """`instants` are those at which something begins or ends; there is at least one."""
        self._at = sorted(set(instants))
        self.start, self.end = self._at[0], self._at[-1]
        self.breaks: list[tuple[float, float]] = []
        self._shown = [0.0]
        for before, after in zip(self._at, self._at[1:], strict=False):
            if after - before > LONGEST:
                self.breaks.append((before, after))
            self._shown.append(self._shown[-1] + min(after - before, LONGEST))
        self._left = left
        self.scale = (right - left) / (self._shown[-1] or 1.0)
        """Places for each second outside the shortened stretches."""
        self._places = {self.start: round(left, 2)}
        """Most instants are asked for several times: one stage ends where the next begins."""
        last = 0.0
        for instant, shown in zip(self._at[1:], self._shown[1:], strict=True):
            self._places[instant] = round(left + (last + (shown - last)) * self.scale, 2)
            last = shown

    def x(self, instant: float) -> float:
        """Return the place of an instant; one outside the line stands at its end."""
        place = self._places.get(instant)
        if place is None:
            place = self._places[instant] = self._place(instant)
        return place

    def _place(self, instant: float) -> float:
        instant = min(max(instant, self.start), self.end)
        shown = self._shown[-1]
        number = bisect_left(self._at, instant, 1) - 1
        if number < len(self._at) - 1:
            before, after = self._at[number], self._at[number + 1]
            part = (instant - before) / (after - before)
            shown = self._shown[number] + part * (self._shown[number + 1] - self._shown[number])
        return round(self._left + shown * self.scale, 2)

    def ticks(self, room: float = 70.0) -> list[float]:
        """Return the seconds since the start to write at the axis, each at least `room` from the next."""
        step = next((step for step in _STEPS if step * self.scale >= room), _STEPS[-1])
        tick_seconds: list[float] = []
        number, last = 0, -math.inf
        for _ in range(int(self._shown[-1] / step) + len(self.breaks) + 2):
            instant = self.start + number * step
            if instant > self.end:
                break
            after = self._end_of_break(instant) if self.breaks else None
            if after is not None:  # on to the first number after the break, however far that is
                number = max(number + 1, math.ceil((after - self.start) / step))
                continue
            if (place := self.x(instant)) - last >= room / 2:
                tick_seconds.append(number * step)
                last = place
            number += 1
        return tick_seconds

    def _end_of_break(self, instant: float) -> float | None:
        """Return the end of the shortened stretch in which an instant lies, or None."""
        return next((after for before, after in self.breaks if before < instant < after), None)
