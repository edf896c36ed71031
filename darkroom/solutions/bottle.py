"""A bottle as its lines tell it. Pure.

Lines are ordered by the instant at which they happened, then bench, then `n`, so that folders of several
benches merge by copying. A line counts unless a withdrawal that counts itself names it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from operator import attrgetter
from typing import Literal

import msgspec

from darkroom.event_base import Newer
from darkroom.solutions import events as ev
from darkroom.solutions.events import BottleEntry

State = Literal["ripening", "in use", "set aside", "discarded"]
DAY = 86400.0
LARGEST = 1e7
"""mL; a line that says a bottle holds more, or less than nothing, was written by hand or is a slip."""


class Bottle(msgspec.Struct, frozen=True, kw_only=True):
    """A bottle: what is in it and what happened to it.

    Instants are seconds since the epoch; `volume` is mL as it was said last. `entries` are the lines that
    count, in order, `withdrawn` those that do not. `last` is {what was done: when it was done last}, with the
    words of TREATMENTS and `made`, `opened`, `topped_up`, `measured` (a strength) and `ph`. `newer` says that
    a newer darkroom made the bottle: it is read as far as it is understood, and nothing is added to it.
    `used` says that it made plates before it came into the book. `problems` says what does not fit together,
    in sentences.
    """

    id: str
    name: str
    what: str
    made: float
    recipe: str | None = None
    batch: str | None = None
    volume: float | None = None
    ripens: float | None = None
    used: bool = False
    opened: float | None = None
    out_of_use: Literal["set aside", "discarded"] | None = None
    newer: bool = False
    last: dict[str, float] = {}
    entries: tuple[BottleEntry, ...] = ()
    withdrawn: tuple[BottleEntry, ...] = ()
    problems: tuple[str, ...] = ()

    def state(self, now: float) -> State:
        """Return what the bottle is at an instant: ripening, in use, set aside or discarded."""
        if self.out_of_use is not None:
            return self.out_of_use
        ripe = self.made + (self.ripens or 0.0) * DAY
        return "ripening" if self.opened is None and now < ripe else "in use"


_ORDER = attrgetter("instant", "bench", "event.n")


def in_order(entries: Iterable[BottleEntry]) -> list[BottleEntry]:
    """Return lines in the order in which they happened; of the same line twice, one."""
    every = list(entries)
    if len({entry.place for entry in every}) < len(every):
        every = _unique(every)
    return sorted(every, key=_ORDER)


def _unique(entries: Iterable[BottleEntry]) -> list[BottleEntry]:
    """Return each line once. Two different ones of one place both count, in an order of their own."""
    unique: dict[str, list[BottleEntry]] = {}
    for entry in entries:
        there = unique.setdefault(entry.place, [])
        if all(entry.event != known.event for known in there):
            there.append(entry)
    return [entry for there in unique.values() for entry in sorted(there, key=repr)]


def standing(entries: Iterable[BottleEntry]) -> tuple[list[BottleEntry], list[BottleEntry]]:
    """Return (the lines that count, those withdrawn), each in order.

    A withdrawal counts unless another that counts names it. Withdrawals that name each other in a circle
    all count.
    """
    ordered = in_order(entries)
    withdrawals: dict[str, list[BottleEntry]] = {}
    for entry in ordered:
        if isinstance(entry.event, ev.Withdrawn):
            withdrawals.setdefault(entry.event.corrects, []).append(entry)
    if not withdrawals:
        return ordered, []
    counts: dict[str, bool] = {}
    for entry in ordered:
        _settle(entry.place, withdrawals, counts)
    kept = [entry for entry in ordered if counts[entry.place]]
    return kept, [entry for entry in ordered if not counts[entry.place]]


def _settle(place: str, withdrawals: dict[str, list[BottleEntry]], counts: dict[str, bool]) -> None:
    """Put into `counts` whether the line at `place` counts, and first every withdrawal that reaches it."""
    way = [place]
    while way:
        here = way[-1]
        if here in counts and here not in way[:-1]:
            way.pop()
            continue
        open_ones = [by.place for by in withdrawals.get(here, ()) if by.place not in counts]
        next_one = next((by for by in open_ones if by not in way), None)
        if next_one is not None:
            way.append(next_one)
            continue
        # What is still on the way names itself through this line: a circle, whose withdrawals all count.
        counts[here] = not any(counts.get(by.place, True) for by in withdrawals.get(here, ()))
        way.pop()


def fold(bottle_id: str, entries: Iterable[BottleEntry]) -> Bottle | None:
    """Return the bottle of the lines, or None when none that counts says what was made."""
    kept, withdrawn = standing(entries)
    made = next((entry for entry in kept if isinstance(entry.event, ev.Made)), None)
    if made is None or not isinstance(made.event, ev.Made):
        return None
    start = made.event
    life = _Life()
    life.holds(made, start.volume)
    life.last["made"] = made.instant
    if start.schema > ev.SCHEMA:
        life.problems.append(f"{made.place} is of a newer darkroom: read as far as it is understood")
    for entry in kept:
        if entry is not made:
            life.take(entry)
    life.problems += _twice([*kept, *withdrawn])
    return Bottle(
        id=bottle_id,
        name=start.name,
        what=start.what,
        made=made.instant,
        recipe=life.recipe or start.recipe,
        batch=start.batch,
        volume=life.volume,
        ripens=start.ripens,
        used=start.used,
        opened=life.opened,
        out_of_use=life.out_of_use,
        newer=start.schema > ev.SCHEMA,
        last=life.last,
        entries=tuple(kept),
        withdrawn=tuple(withdrawn),
        problems=tuple(life.problems),
    )


class _Life:
    """What the lines so far come to, while they are gone through in order."""

    def __init__(self) -> None:
        self.volume: float | None = None
        self.recipe: str | None = None
        self.opened: float | None = None
        self.out_of_use: Literal["set aside", "discarded"] | None = None
        self.last: dict[str, float] = {}
        self.problems: list[str] = []

    def take(self, entry: BottleEntry) -> None:
        """Take one more line."""
        event, instant = entry.event, entry.instant
        match event:  # the most frequent first
            case ev.Treated():
                self.last[event.how] = instant
            case ev.Measured():
                if event.what == "volume":
                    self.holds(entry, event.value)
                else:
                    self.last["ph" if event.what == "ph" else "measured"] = instant
            case ev.ToppedUp():
                self.holds(entry, event.volume)
                self.last["topped_up"] = instant
            case ev.Note():
                pass
            case ev.DrawnOff():
                if self.volume is not None and event.volume is not None and event.volume > 0:
                    self.volume = max(0.0, self.volume - event.volume)
            case ev.Opened():
                self.opened = instant if self.opened is None else self.opened
                self.last["opened"] = instant
            case ev.SetAside():
                self.out_of_use = "set aside"
            case ev.TakenUp():
                self.out_of_use = None
            case ev.Discarded():
                self.out_of_use = "discarded"
            case ev.RecipeNamed():
                self.recipe = event.recipe
            case ev.Made():
                self.problems.append(f"{entry.place} says a second time that the bottle was made")
            case Newer():
                self.problems.append(f"{entry.place} is from a newer darkroom: {event.event}")
            case _:
                pass

    def holds(self, entry: BottleEntry, volume: float | None) -> None:
        """Take what a line says the bottle holds; what no bottle holds is a problem, and nothing else."""
        if volume is None:
            return
        if 0 <= volume <= LARGEST:
            self.volume = volume
        else:
            self.problems.append(f"{entry.place} says that the bottle holds {volume:g} mL: not believed")


def _twice(entries: Sequence[BottleEntry]) -> list[str]:
    """Return a sentence for each place that holds two different lines: copies of a folder that went apart."""
    places = [entry.place for entry in entries]
    if len(set(places)) == len(places):
        return []
    twice = sorted(place for place, count in Counter(places).items() if count > 1)
    return [f"{place} stands in the book twice, with different words: both count" for place in twice]
