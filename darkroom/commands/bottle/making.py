"""A bottle entered into the book: by `darkroom bottle new`, and by `darkroom mix --bottle`."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from random import SystemRandom
from typing import TYPE_CHECKING, Any

import msgspec

from darkroom import __version__
from darkroom.commands.bottle.shared import ask, say_problems, write
from darkroom.errors import QuantityError, WrongUse
from darkroom.log.bottles.files import read_shelf
from darkroom.log.store.paths import bench_id, home, new_plate_id
from darkroom.process.text.numbers import quoted, split
from darkroom.solutions import events as ev
from darkroom.solutions import strength
from darkroom.solutions.bottle import DAY, Bottle, fold
from darkroom.solutions.bottle_strength import SUBSTANCES
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.finding import find, listed
from darkroom.solutions.recipe import name_key
from darkroom.solutions.warnings import warnings

if TYPE_CHECKING:
    from darkroom.solutions.recipe import Recipe

LONGEST_RIPENING = 3650.0
"""More days than this are a slip."""


class Making(msgspec.Struct, frozen=True, kw_only=True):
    """What is said of a new bottle; None is left to its recipe, mL, % w/v and days. `sources` are names."""

    what: str
    name: str
    recipe: str | None = None
    volume: float | None = None
    strength: float | None = None
    batch: str | None = None
    ripens: float | None = None
    sources: tuple[str, ...] = ()


def make(making: Making, recipe: Recipe | None, when: str | None, *, yes: bool) -> ev.Made:
    """Enter a bottle into the book, after what must be said of it; return its line.

    Raises WrongUse where recipe and content disagree or a bottle that went into it is not known, BeyondTable
    for a strength that no solution has, NothingWritten for a no, NotSavedError.
    """
    if recipe is not None and recipe.makes != making.what:
        raise WrongUse(f"the recipe {making.recipe} makes {recipe.makes}, not {making.what}")
    log_home, now = home(), time.time()
    shelf = read_shelf(log_home)
    say_problems(shelf.problems)
    bottles = shelf.bottles.values()
    percent = making.strength
    if percent is None and recipe is not None:
        percent = recipe.strength
    of = (None if recipe is None else recipe.of) or SUBSTANCES.get(making.what)
    if percent is not None and of is not None:
        _check_strength(of, percent)
    ripens = making.ripens
    if ripens is None and recipe is not None and recipe.ready is not None:
        ripens = recipe.ready.seconds / DAY
    volume = making.volume
    if volume is None and recipe is not None:
        volume = recipe.volume.value
    bottle = new_plate_id(datetime.now(UTC), SystemRandom())
    members: dict[str, Any] = {
        "bottle": bottle,
        "name": making.name,
        "what": making.what,
        "schema": ev.SCHEMA,
        "version": __version__,
        "bench": bench_id(),
        "recipe": making.recipe,
        "batch": making.batch,
        "volume": volume,
        "strength": percent,
        "ripens": ripens,
        "from_": tuple(find(bottles, word, now).bottle.id for word in making.sources),
    }
    said = _remarks(ev.Made(n=1, at="", up=None, when=when, **members), recipe, list(bottles), now)
    if said:
        ask(said, yes)
    written = write(log_home, bottle, [(ev.Made, members)], when, making.name)[0]
    assert isinstance(written, ev.Made)
    return written


def _check_strength(of: str, percent: float) -> None:
    from darkroom.solutions.density import SOLUTES

    if of in SOLUTES:
        strength.of_percent_wv(of, percent)


def _remarks(made: ev.Made, recipe: Recipe | None, bottles: list[Bottle], now: float) -> list[str]:
    """Return what is said before a bottle is entered: who must not, what must not meet, whose name it has."""
    entry = BottleEntry(place="new:1", bench="new", instant=now, happened="", event=made)
    bottle = fold(made.bottle, [entry])
    assert bottle is not None
    said = [] if recipe is None or recipe.warning is None else [recipe.warning]
    said += warnings(bottle, made, now, others=bottles)
    alike = [
        other
        for other in bottles
        if name_key(other.name) == name_key(made.name) and other.state(now) != "discarded"
    ]
    if alike:
        said.append(f"Another bottle has the name {made.name}:\n{listed(alike, now)}")
    return said


def ripening(text: str) -> float:
    """Return the days in "7d", "7 days", "2 weeks", "12 h" or "0". Raises QuantityError."""
    expected = "a time such as 7 days, 2 weeks or 12 h"
    number, unit = split(text, expected)
    days = {"d": 1.0, "day": 1.0, "w": 7.0, "week": 7.0, "h": 1 / 24, "hour": 1 / 24, "month": 30.4375}
    size = days.get(unit.lower().rstrip("s") if len(unit) > 1 else unit.lower())
    if size is None and not (number == 0 and not unit):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    if not 0 <= number * (size or 0.0) <= LONGEST_RIPENING:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return number * (size or 0.0)
