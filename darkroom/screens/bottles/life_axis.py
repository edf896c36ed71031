"""The time axis of a bottle's life: instants to places in a row, with days, months or years. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta, tzinfo

from darkroom.process.text.days import MONTHS

HOUR = 3600.0
DAY = 86400.0
SHORTEST = 6 * HOUR
"""A shorter life is drawn as one of so many seconds."""
ROOM = 9.0
"""Two numbers stand at least so many cells apart."""
_HOURS = (1, 3, 6, 12)
_DAYS = (1, 2, 7, 14)
_MONTHS = (1, 2, 3, 6)
_YEARS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def local(instant: float, zone: tzinfo) -> datetime:
    """Return an instant (seconds since the epoch) in a zone; one beyond the calendar at its end."""
    try:
        return (_EPOCH + timedelta(seconds=instant)).astimezone(zone)
    except (OverflowError, ValueError):
        last = datetime.max if instant > 0 else datetime.min
        return last.replace(tzinfo=zone)


class LifeAxis:
    """Maps instants between `start` and `end` to places between 0 and `cells`, linearly.

    `zone` is the zone whose days are meant; one without changes of clock, so that days are alike.
    """

    def __init__(self, start: float, end: float, cells: int, zone: tzinfo) -> None:
        self.start = start
        self.end = max(end, start + SHORTEST)
        self.cells = cells
        self.zone = zone

    @property
    def per_cell(self) -> float:
        """Seconds for each cell."""
        return (self.end - self.start) / self.cells

    def x(self, instant: float) -> float:
        """Return the place of an instant; one outside the line stands at its end."""
        return (min(max(instant, self.start), self.end) - self.start) / self.per_cell

    def day(self, instant: float) -> int:
        """Return the number of the local day of an instant."""
        return local(instant, self.zone).toordinal()

    def midnight(self, day: int) -> float:
        """Return the instant at which the local day of this number begins."""
        day = min(max(day, 1), date.max.toordinal())
        midnight = datetime.combine(date.fromordinal(day), datetime.min.time(), tzinfo=self.zone)
        return (midnight - _EPOCH).total_seconds()

    def ticks(self) -> list[tuple[float, str]]:
        """Return (place, words) of what is written at the axis, each with room before the next."""
        least = self.per_cell * ROOM
        hours = next((step for step in _HOURS if step * HOUR >= least), None)
        found = self._days(least) if hours is None else self._hours(hours)
        ticks: list[tuple[float, str]] = []
        for instant, words in found:
            place = self.x(instant)
            if self.start <= instant <= self.end and (
                not ticks or place - ticks[-1][0] >= len(ticks[-1][1]) + 2
            ):
                ticks.append((place, words))
        return ticks

    def _hours(self, step: int) -> Iterator[tuple[float, str]]:
        instant = self.midnight(self.day(self.start))
        while instant <= self.end:
            time = local(instant, self.zone)
            yield instant, _day_words(time.date()) if not time.hour else f"{time:%H:%M}"
            instant += step * HOUR

    def _days(self, least: float) -> Iterator[tuple[float, str]]:
        first, last = self.day(self.start), self.day(self.end)
        step = next((step for step in _DAYS if step * DAY >= least), None)
        if step is not None:
            for day in range(first - first % step, last + 1, step):
                if day > 0:
                    yield self.midnight(day), _day_words(date.fromordinal(day))
            return
        months = next((step for step in _MONTHS if step * 28 * DAY >= least), None)
        step = 12 * next((step for step in _YEARS if step * 365 * DAY >= least), _YEARS[-1])
        step = step if months is None else months
        begin, end = (date.fromordinal(day) for day in (first, last))
        month = math.floor((12 * begin.year + begin.month - 1) / step) * step
        while month <= 12 * end.year + end.month - 1:
            year, number = divmod(month, 12)
            if year >= 1:
                words = MONTHS[number] if months is not None and number else f"{year}"
                yield self.midnight(date(year, number + 1, 1).toordinal()), words
            month += step


def _day_words(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]}"
