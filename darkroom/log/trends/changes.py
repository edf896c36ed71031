"""What changed in the course of the plates: bottles that came into use, and what was done to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import msgspec

from darkroom.faults.began import DONE
from darkroom.process.uses import content_of, role_text
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.recipe import name_key

_Use = tuple[str, str | None, str | None]
"""The role, and the bottle by id, by name or by both."""


class Change(msgspec.Struct, frozen=True):
    """Something changed at an instant, in seconds since the epoch: "developer D-4", "bath B-1 filtered"."""

    instant: float
    what: str


class FirstUses:
    """Gathers when each bottle was first used; the plates may come in any order."""

    def __init__(self) -> None:
        self._first: dict[_Use, float] = {}

    def add(self, role: str, bottle: str | None, name: str | None, instant: float | None) -> None:
        """Take a plate that used a bottle; `instant` is when the plate began."""
        if instant is not None and (bottle or name):
            use = (role, bottle, name)
            first = self._first.get(use)
            if first is None or instant < first:
                self._first[use] = instant

    def changes(self, bottles: Mapping[str, Bottle]) -> list[Change]:
        """Return the first use of each bottle, and what was done to those in the book, oldest first.

        A name alone is the one bottle of that name and content in the book, where there is just one.
        """
        named: dict[tuple[str, str], list[str]] = {}
        for bottle in bottles.values():
            named.setdefault((bottle.what, name_key(bottle.name)), []).append(bottle.id)
        first: dict[tuple[str, str], tuple[float, str]] = {}
        used: set[str] = set()
        for (role, bottle_id, name), instant in self._first.items():
            content = content_of(role)
            of_name = named.get((content, name_key(name)), [])
            one = bottle_id or (of_name[0] if len(of_name) == 1 else None)
            if one is not None:
                used.add(one)
            called = bottles[one].name if one is not None and one in bottles else name or one
            key = (content, one or name_key(name))
            first[key] = min((instant, f"{role_text(role)} {called}"), first.get(key, (instant, "~")))
        changes = [Change(instant, what) for instant, what in first.values()]
        changes += _done_to(bottles[one] for one in used if one in bottles)
        return sorted(changes, key=lambda change: (change.instant, change.what))


def _done_to(bottles: Iterable[Bottle]) -> Iterator[Change]:
    """Yield what was done to bottles and may show on the plates: treatments, and topping up."""
    for bottle in bottles:
        for entry in bottle.entries:
            how = None
            if isinstance(entry.event, ev.Treated):
                how = entry.event.how
            elif isinstance(entry.event, ev.ToppedUp):
                how = "topped_up"
            if how is not None:
                yield Change(entry.instant, f"{bottle.what} {bottle.name} {DONE.get(how, how)}")
