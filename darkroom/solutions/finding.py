"""Which bottle a word means: its id, a unique start of one, or its name. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from darkroom.errors import NothingFound, WrongUse, nearest
from darkroom.process.text.numbers import quoted
from darkroom.solutions.bottle import Bottle, State
from darkroom.solutions.bottle_words import day_of
from darkroom.solutions.recipe import name_key

_RANKS: dict[State, int] = {"in use": 0, "ripening": 0, "set aside": 1, "discarded": 2}


class Found(msgspec.Struct, frozen=True, kw_only=True):
    """The bottle that was meant, and others of its name that are out of use."""

    bottle: Bottle
    passed_over: tuple[Bottle, ...] = ()


def find(bottles: Iterable[Bottle], word: str, now: float) -> Found:
    """Return the bottle that a word names at an instant (seconds since the epoch).

    A whole id comes first, then a name (case, hyphens and the number of spaces do not count), then a start
    of an id. Of several bottles of one name the one that is in use or ripens is meant, else the one that is
    set aside, else the one that is discarded. Raises WrongUse with the list where that leaves several,
    NothingFound with the nearest name where it leaves none.
    """
    every = list(bottles)
    word = word.strip()
    matches = [bottle for bottle in every if bottle.id == word]
    matches = matches or [bottle for bottle in every if word and name_key(bottle.name) == name_key(word)]
    matches = matches or [bottle for bottle in every if word and bottle.id.startswith(word)]
    if not matches:
        near = nearest(word, [bottle.name for bottle in every])
        hint = f" (did you mean {quoted(near)}?)" if near else ""
        raise NothingFound(f"no bottle is called {quoted(word)}{hint}")
    best = min(_RANKS[bottle.state(now)] for bottle in matches)
    meant = [bottle for bottle in matches if _RANKS[bottle.state(now)] == best]
    if len(meant) > 1:
        several = f"several bottles answer to {quoted(word)}; name one by its id, or the start of it"
        raise WrongUse(f"{several}:\n" + listed(meant, now))
    return Found(bottle=meant[0], passed_over=tuple(bottle for bottle in matches if bottle is not meant[0]))


def listed(bottles: Sequence[Bottle], now: float) -> str:
    """Return a line for each bottle: id, name, what, the day it was made on, state."""
    return "\n".join(
        f"  {bottle.id}  {bottle.name}  {bottle.what}, made {day_made(bottle)}, {bottle.state(now)}"
        for bottle in bottles
    )


def day_made(bottle: Bottle) -> str:
    """Return the day on which a bottle was made, as its line says it."""
    return next((day_of(entry.happened) for entry in bottle.entries if entry.instant == bottle.made), "?")


def date_made(bottle: Bottle) -> str:
    """Return the date on which a bottle was made, as its line has it: "2026-05-02"; "" where none is told."""
    return next((entry.happened[:10] for entry in bottle.entries if entry.instant == bottle.made), "")
