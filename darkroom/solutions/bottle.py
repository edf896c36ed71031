"""A bottle as its lines tell it. Pure.

Lines are ordered by the instant at which they happened, then bench, then `n`, so that folders of several
benches merge by copying. A line counts unless a withdrawal that counts itself names it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import msgspec

from darkroom.event_base import Newer
from darkroom.solutions import events as ev
from darkroom.solutions.events import BottleEntry

State = Literal["ripening", "in use", "set aside", "discarded"]
DAY = 86400.0


class Bottle(msgspec.Struct, frozen=True, kw_only=True):
    """A bottle: what is in it and what happened to it.

    Instants are seconds since the epoch; `volume` is mL as it was said last. `entries` are the lines that
    count, in order, `withdrawn` those that do not. `last` is {what was done: when it was done last}, with the
    words of TREATMENTS and `made`, `opened`, `topped_up`, `measured`. `problems` says what does not fit
    together, in sentences.
    """

    id: str
    name: str
    what: str
    made: float
    recipe: str | None = None
    batch: str | None = None
    volume: float | None = None
    ripens: float | None = None
    opened: float | None = None
    out_of_use: Literal["set aside", "discarded"] | None = None
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


def in_order(entries: Iterable[BottleEntry]) -> list[BottleEntry]:
    """Return lines in the order in which they happened; of the same line twice, one."""
    unique = {(entry.place, _hashable(entry.event)): entry for entry in entries}
    return sorted(unique.values(), key=lambda entry: (entry.instant, entry.bench, entry.event.n))


def _hashable(event: ev.BottleEvent | Newer) -> object:
    return repr(event) if isinstance(event, Newer) else event


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
    bottle = Bottle(
        id=bottle_id,
        name=start.name,
        what=start.what,
        made=made.instant,
        recipe=start.recipe,
        batch=start.batch,
        volume=start.volume,
        ripens=start.ripens,
        last={"made": made.instant},
        entries=tuple(kept),
        withdrawn=tuple(withdrawn),
    )
    for entry in kept:
        bottle = _after(bottle, entry, is_start=entry is made)
    return bottle


def _after(bottle: Bottle, entry: BottleEntry, *, is_start: bool) -> Bottle:
    replace = msgspec.structs.replace
    event, instant = entry.event, entry.instant
    match event:
        case ev.Made() if not is_start:
            text = f"{entry.place} says a second time that the bottle was made"
            return replace(bottle, problems=(*bottle.problems, text))
        case ev.Opened():
            opened = instant if bottle.opened is None else bottle.opened
            return replace(bottle, opened=opened, last={**bottle.last, "opened": instant})
        case ev.Treated():
            return replace(bottle, last={**bottle.last, event.how: instant})
        case ev.ToppedUp():
            volume = bottle.volume if event.volume is None else event.volume
            return replace(bottle, volume=volume, last={**bottle.last, "topped_up": instant})
        case ev.Measured(what="volume"):
            return replace(bottle, volume=event.value)
        case ev.Measured():
            return replace(bottle, last={**bottle.last, "measured": instant})
        case ev.DrawnOff() if bottle.volume is not None and event.volume is not None:
            return replace(bottle, volume=max(0.0, bottle.volume - event.volume))
        case ev.SetAside():
            return replace(bottle, out_of_use="set aside")
        case ev.TakenUp():
            return replace(bottle, out_of_use=None)
        case ev.Discarded():
            return replace(bottle, out_of_use="discarded")
        case Newer():
            text = f"{entry.place} is from a newer darkroom: {event.event}"
            return replace(bottle, problems=(*bottle.problems, text))
        case _:
            return bottle
