"""The share of judged plates with a fault over time, and what changed meanwhile. Pure.

A plate counts when it was judged at all, as for the question why a plate failed (`faults.history`): one that
was judged and not marked with the fault counts as a plate without it. What goes together is no cause: a
change is told with how many of the judged plates just before and just after it had the fault.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from operator import itemgetter
from typing import Literal

import msgspec

from darkroom.faults.catalogue import Catalogue, name_key
from darkroom.faults.tallies import telling
from darkroom.log.plate.ratings import VALUES
from darkroom.log.trends import ranks
from darkroom.log.trends.facts import Rows
from darkroom.log.trends.plate_columns import members

FEWEST = 12
"""Of fewer judged plates no share is told."""
FEWEST_WITH = 3
"""A fault of fewer plates has no trend."""
MOST_STEPS = 16
"""A trend has at most so many steps, from the first to the last judged plate."""
ENOUGH = 3
"""So many plates a step are enough, in the mean of those that have any."""
AROUND = 15
"""So many judged plates before a change are held against so many after it."""
MOST_CHANGES = 8
"""So many changes are told of a fault: those with which its share changed most."""
Period = Literal["day", "week", "month", "quarter", "year"]


class FaultStep(msgspec.Struct, frozen=True):
    """The judged plates of `days` days from the ordinal `least` on: how many, how many with the fault.

    The true share lies between `low` and `high` with 95 per cent.
    """

    least: int
    days: int
    plates: int
    having: int
    low: float
    high: float


class Changed(msgspec.Struct, frozen=True, kw_only=True):
    """What changed before a judged plate: `plate` is its id, `number` its number, `day` its ordinal.

    Of the `before` judged plates right before it `having_before` had the fault, of the `after` from it on
    `having_after`. `strength` is the likelihood ratio of the four counts, see `faults.tallies.telling`.
    """

    plate: str
    number: int | None
    day: int
    what: tuple[str, ...]
    before: int
    having_before: int
    after: int
    having_after: int
    strength: float


class FaultShares(msgspec.Struct, frozen=True, kw_only=True):
    """How the share of a fault went, `by` the period of a step; steps without a judged plate are left out.

    `fault` is its id, or the words of one that is `known` to no file of faults; `label` is what it is called.
    `plates` are those judged, `having` those with it; `unjudged` counts the plates left out. `changes` are in
    the order of time, `changed` counts them all.
    """

    fault: str
    label: str
    known: bool
    by: Period
    steps: tuple[FaultStep, ...]
    plates: int
    having: int
    unjudged: int
    changes: tuple[Changed, ...] = ()
    changed: int = 0

    @property
    def strongest(self) -> Changed | None:
        """The change with which the share changed most."""
        return max(self.changes, key=lambda change: change.strength, default=None)


class _Judged:
    """The judged plates, oldest first, in step with each other, and which of them have each fault."""

    def __init__(self, rows: Rows, catalogue: Catalogue) -> None:
        self.plates: list[str] = []
        self.numbers: list[int | None] = []
        self.moments: list[float] = []
        self.days: list[date] = []
        self.labels: dict[str, str] = {}
        self.having: dict[str, list[int]] = {}
        self.unjudged = 0
        self._names: dict[str, str] = {}
        days: dict[str, date | None] = {}
        oldest_first = sorted(self._said_of(rows), key=itemgetter(0, 1, 2))
        for moment, plate, _, number, day_text, marked in oldest_first:
            if day_text not in days:
                days[day_text] = _date_of(day_text)
            day = days[day_text]
            if day is not None:
                for fault in {self._fault(name, catalogue) for name in marked}:
                    self.having.setdefault(fault, []).append(len(self.plates))
                self.plates.append(plate)
                self.numbers.append(number)
                self.moments.append(moment)
                self.days.append(day)

    def _said_of(self, rows: Rows) -> Iterator[_Said]:
        of_plates = members(rows.plates, "path", "plate", "moment", "number", "day", *VALUES)
        for place, (path, plate, moment, number, day, *said) in enumerate(of_plates):
            marked = rows.faults.get(path, ())
            if not marked and said == _NOTHING:
                self.unjudged += 1
            elif day is not None and moment is not None:
                yield moment, plate, place, number, day, marked

    def _fault(self, name: str, catalogue: Catalogue) -> str:
        """Return the id of a fault, or its words where it is in no file, and know what it is called."""
        if name not in self._names:
            fault = catalogue.fault(name)
            self._names[name] = name_key(name) if fault is None else fault.id
            self.labels.setdefault(
                self._names[name], " ".join(name.split()) if fault is None else fault.label
            )
        return self._names[name]


_NOTHING = [None for _ in VALUES]
_Said = tuple[float, str, int, int | None, str, Sequence[str]]
"""Of a judged plate: its moment, id, place among the plates, number, day, and faults."""


def fault_shares(rows: Rows, known: Catalogue | None = None) -> tuple[FaultShares, ...]:
    """Return the trends of all faults; `known` are the faults of the files.

    Those marked on the newest plate that has any come first, then those of most plates.
    """
    if not rows.faults:
        return ()
    catalogue = known or Catalogue()
    judged = _Judged(rows, catalogue)
    if len(judged.plates) < FEWEST:
        return ()
    period = _period(judged.days)
    start_of = {day: _STARTS[period](day) for day in set(judged.days)}
    starts = [start_of[day] for day in judged.days]
    steps = sorted(Counter(starts).items())
    news = _news(rows, judged)
    often = {fault: places for fault, places in judged.having.items() if len(places) >= FEWEST_WITH}
    newest = max((places[-1] for places in often.values()), default=0)
    found = []
    for fault, places in sorted(
        often.items(), key=lambda item: (item[1][-1] < newest, -len(item[1]), item[0])
    ):
        having = Counter(starts[place] for place in places)
        changes = [_changed(place, what, judged, places) for place, what in news.items()]
        strongest = sorted(changes, key=lambda change: (-change.strength, change.day, change.plate))
        found.append(
            FaultShares(
                fault=fault,
                label=judged.labels[fault],
                known=fault in catalogue.faults,
                by=period,
                steps=tuple(_step(period, start, plates, having[start]) for start, plates in steps),
                plates=len(judged.plates),
                having=len(places),
                unjudged=judged.unjudged,
                changes=tuple(
                    sorted(strongest[:MOST_CHANGES], key=lambda change: (change.day, change.plate))
                ),
                changed=len(changes),
            )
        )
    return tuple(found)


def _date_of(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


_STARTS: dict[Period, Callable[[date], date]] = {
    "day": lambda day: day,
    "week": lambda day: day - timedelta(days=min(day.weekday(), day.toordinal() - 1)),
    "month": lambda day: day.replace(day=1),
    "quarter": lambda day: day.replace(month=day.month - (day.month - 1) % 3, day=1),
    "year": lambda day: day.replace(month=1, day=1),
}
"""{period: the first day of the one in which a day lies}; weeks begin on Monday (ISO 8601)."""
_DAYS: dict[Period, int] = {"day": 1, "week": 7, "month": 31, "quarter": 92, "year": 366}
"""How long a period is at most."""


def _period(days: Sequence[date]) -> Period:
    """Return the shortest period that makes few enough steps, with enough plates in them if one does.

    Where none has enough, the longest with two steps or more is taken; of plates of one day, the day.
    """
    span = max(days).toordinal() - min(days).toordinal() + 1
    last: Period = "day"
    for period, start in _STARTS.items():
        steps = len({start(day) for day in set(days)})
        if steps == 1:
            break
        last = period
        if span <= MOST_STEPS * _DAYS[period] and len(days) >= ENOUGH * steps:
            return period
    return last


def _news(rows: Rows, judged: _Judged) -> dict[int, list[str]]:
    """Return {how many judged plates came before: what changed}; what was there from the first is no news."""
    news: dict[int, list[str]] = {}
    for change in rows.changes:
        place = bisect_left(judged.moments, change.instant)
        if 0 < place < len(judged.plates) and change.what not in news.get(place, ()):
            news.setdefault(place, []).append(change.what)
    return news


def _step(period: Period, start: date, plates: int, having: int) -> FaultStep:
    low, high = ranks.likely_share(having, plates)
    return FaultStep(start.toordinal(), _length(period, start), plates, having, low, high)


def _length(period: Period, start: date) -> int:
    """Return how many days a period has that begins on `start`."""
    within = start.toordinal() + _DAYS[period] - 1
    last = date.fromordinal(min(within, date.max.toordinal()))
    while _STARTS[period](last) != start:
        last -= timedelta(days=1)
    return last.toordinal() - start.toordinal() + 1


def _changed(place: int, what: list[str], judged: _Judged, places: Sequence[int]) -> Changed:
    """Return a change before the judged plate at `place`; `places` are those of the plates with the fault."""
    first, last = max(0, place - AROUND), min(len(judged.plates), place + AROUND)
    at_first, here, at_last = (bisect_left(places, end) for end in (first, place, last))
    before, after = place - first, last - place
    having_before, having_after = here - at_first, at_last - here
    return Changed(
        plate=judged.plates[place],
        number=judged.numbers[place],
        day=judged.days[place].toordinal(),
        what=tuple(what),
        before=before,
        having_before=having_before,
        after=after,
        having_after=having_after,
        strength=telling(having_after, after - having_after, having_before, before - having_before),
    )
