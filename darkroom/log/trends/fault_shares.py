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
from typing import TYPE_CHECKING, Literal, NamedTuple

import msgspec

from darkroom.faults.catalogue import Catalogue
from darkroom.faults.tallies import telling
from darkroom.log.plate.ratings import VALUES
from darkroom.log.trends import ranks

if TYPE_CHECKING:
    from darkroom.log.trends.facts import PlateFacts, Rows

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


class _Judged(NamedTuple):
    moment: float
    plate: PlateFacts
    day: date
    faults: frozenset[str]


def fault_shares(rows: Rows, known: Catalogue | None = None) -> tuple[FaultShares, ...]:
    """Return the trends of all faults, those of most plates first; `known` are the faults of the files."""
    catalogue = known or Catalogue()
    judged, labels, unjudged = _judged(rows, catalogue)
    if len(judged) < FEWEST:
        return ()
    counts = Counter(fault for one in judged for fault in one.faults)
    period = _period([one.day for one in judged])
    news = _news(rows, judged)
    return tuple(
        _shares(fault, labels[fault], fault in catalogue.faults, period, judged, news, unjudged)
        for fault, number in sorted(counts.items(), key=lambda counted: (-counted[1], counted[0]))
        if number >= FEWEST_WITH
    )


def _judged(rows: Rows, catalogue: Catalogue) -> tuple[list[_Judged], dict[str, str], int]:
    """Return the judged plates, oldest first, what their faults are called, how many were not judged."""
    names: dict[str, str] = {}
    labels: dict[str, str] = {}
    judged: list[_Judged] = []
    unjudged = 0
    for plate in rows.plates:
        marked = rows.faults.get(plate.path, ())
        if not marked and all(getattr(plate, said) is None for said in VALUES):
            unjudged += 1
            continue
        day = _date_of(plate.day)
        if day is None or plate.moment is None:
            continue
        for name in marked:
            if name not in names:
                fault = catalogue.fault(name)
                names[name] = " ".join(name.casefold().split()) if fault is None else fault.id
                labels.setdefault(names[name], " ".join(name.split()) if fault is None else fault.label)
        judged.append(_Judged(plate.moment, plate, day, frozenset(names[name] for name in marked)))
    judged.sort(key=lambda one: (one.moment, one.plate.plate))
    return judged, labels, unjudged


def _date_of(text: str | None) -> date | None:
    try:
        return None if text is None else date.fromisoformat(text)
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
        steps = len({start(day) for day in days})
        if steps == 1:
            break
        last = period
        if span <= MOST_STEPS * _DAYS[period] and len(days) >= ENOUGH * steps:
            return period
    return last


def _news(rows: Rows, judged: Sequence[_Judged]) -> dict[int, list[str]]:
    """Return {how many judged plates came before: what changed}; what was there from the first is no news."""
    moments = [one.moment for one in judged]
    news: dict[int, list[str]] = {}
    for change in rows.changes:
        place = bisect_left(moments, change.instant)
        if 0 < place < len(judged) and change.what not in news.get(place, ()):
            news.setdefault(place, []).append(change.what)
    return news


def _shares(
    fault: str,
    label: str,
    known: bool,
    period: Period,
    judged: Sequence[_Judged],
    news: dict[int, list[str]],
    unjudged: int,
) -> FaultShares:
    having = [fault in one.faults for one in judged]
    changes = [_changed(place, what, judged, having) for place, what in news.items()]
    strongest = sorted(changes, key=lambda change: (-change.strength, change.day, change.plate))
    return FaultShares(
        fault=fault,
        label=label,
        known=known,
        by=period,
        steps=tuple(_steps(period, judged, having)),
        plates=len(judged),
        having=sum(having),
        unjudged=unjudged,
        changes=tuple(sorted(strongest[:MOST_CHANGES], key=lambda change: (change.day, change.plate))),
        changed=len(changes),
    )


def _steps(period: Period, judged: Sequence[_Judged], having: Sequence[bool]) -> Iterator[FaultStep]:
    counts: dict[date, list[int]] = {}
    for one, has in zip(judged, having, strict=True):
        count = counts.setdefault(_STARTS[period](one.day), [0, 0])
        count[0] += 1
        count[1] += has
    for start in sorted(counts):
        plates, having_it = counts[start]
        low, high = ranks.likely_share(having_it, plates)
        yield FaultStep(start.toordinal(), _length(period, start), plates, having_it, low, high)


def _length(period: Period, start: date) -> int:
    """Return how many days a period has that begins on `start`."""
    within = start.toordinal() + _DAYS[period] - 1
    last = date.fromordinal(min(within, date.max.toordinal()))
    while _STARTS[period](last) != start:
        last -= timedelta(days=1)
    return last.toordinal() - start.toordinal() + 1


def _changed(place: int, what: list[str], judged: Sequence[_Judged], having: Sequence[bool]) -> Changed:
    before, after = having[max(0, place - AROUND) : place], having[place : place + AROUND]
    first = judged[place]
    return Changed(
        plate=first.plate.plate,
        number=first.plate.number,
        day=first.day.toordinal(),
        what=tuple(what),
        before=len(before),
        having_before=sum(before),
        after=len(after),
        having_after=sum(after),
        strength=telling(sum(after), len(after) - sum(after), sum(before), len(before) - sum(before)),
    )
