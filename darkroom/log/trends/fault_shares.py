"""The share of judged plates with a fault over time, and what changed meanwhile. Pure.

A plate counts when it was judged at all, as for the question why a plate failed (`faults.history`): one that
was judged and not marked with the fault counts as a plate without it. What goes together is no cause: a
change is told with how many of the judged plates just before and just after it had the fault.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from functools import lru_cache
from heapq import nsmallest
from operator import itemgetter
from typing import Literal

import msgspec

from darkroom.faults.catalogue import Catalogue
from darkroom.faults.tallies import telling
from darkroom.log.trends import ranks
from darkroom.log.trends.facts import Rows
from darkroom.log.trends.marked_plates import MarkedPlates

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


def fault_shares(rows: Rows, known: Catalogue | None = None) -> tuple[FaultShares, ...]:
    """Return the trends of all faults; `known` are the faults of the files.

    Those marked on the newest plate that has any come first, then those of most plates.
    """
    if not rows.faults:
        return ()
    catalogue = known or Catalogue()
    judged = MarkedPlates(rows, catalogue)
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
        counted = [_counted(place, judged, places) for place in news]
        strongest = nsmallest(MOST_CHANGES, counted)
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
                    Changed(
                        plate=plate,
                        number=judged.numbers[place],
                        day=day,
                        what=tuple(news[place]),
                        before=before,
                        having_before=having_before,
                        after=after,
                        having_after=having_after,
                        strength=-less,
                    )
                    for less, day, plate, place, before, having_before, after, having_after in sorted(
                        strongest, key=itemgetter(1, 2)
                    )
                ),
                changed=len(counted),
            )
        )
    return tuple(found)


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


def _news(rows: Rows, judged: MarkedPlates) -> dict[int, list[str]]:
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


_telling = lru_cache(4096)(telling)
"""The same few counts come again and again: each is at most `AROUND`."""
_Counted = tuple[float, int, str, int, int, int, int, int]


def _counted(place: int, judged: MarkedPlates, places: Sequence[int]) -> _Counted:
    """Return how strong a change before the judged plate at `place` is, and its counts.

    They are (-strength, day, plate, place, before, having before, after, having after) as in `Changed`: the
    strongest is the least. `places` are those of the plates with the fault.
    """
    first, last = max(0, place - AROUND), min(len(judged.plates), place + AROUND)
    at_first, here, at_last = (bisect_left(places, end) for end in (first, place, last))
    before, after = place - first, last - place
    having_before, having_after = here - at_first, at_last - here
    strength = _telling(having_after, after - having_after, having_before, before - having_before)
    day = judged.days[place].toordinal()
    return -strength, day, judged.plates[place], place, before, having_before, after, having_after
