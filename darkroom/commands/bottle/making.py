"""A bottle entered into the book: by `darkroom bottle new`, and by `darkroom mix --bottle`."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from random import SystemRandom
from typing import TYPE_CHECKING

import click

from darkroom import __version__
from darkroom.commands.bottle.shared import ask, recipes_of, say_problems, uses_of, write
from darkroom.errors import harmless
from darkroom.log.bottles.files import read_shelf
from darkroom.log.store.paths import bench_id, home, new_plate_id
from darkroom.resources import checked_recipes
from darkroom.solutions import events as ev
from darkroom.solutions.making import EARLIER, Making, hints, members_of, remarks

if TYPE_CHECKING:
    from pathlib import Path

    from darkroom.solutions.recipe import Recipe


def make(making: Making, recipe: Recipe | None, when: str | None, *, yes: bool) -> ev.Made:
    """Enter a bottle into the book, after what must be said of it; return its line.

    Raises WrongUse where recipe and content disagree or a bottle that went into it is not known, BeyondTable
    for a strength that no solution has, NothingWritten for a no, NotSavedError.
    """
    log_home, now = home(), time.time()
    shelf = read_shelf(log_home)
    say_problems(shelf.problems)
    bottles = shelf.bottles.values()
    bottle = new_plate_id(datetime.now(UTC), SystemRandom())
    members = {
        "bottle": bottle,
        "version": __version__,
        "bench": bench_id(),
        **members_of(making, recipe, bottles, now),
    }
    recipes = recipes_of(bottles, log_home)
    said = remarks(ev.Made(n=1, at="", up=None, when=when, **members), recipe, bottles, now, recipes)
    if said:
        ask(said, yes)
    written = write(log_home, bottle, [(ev.Made, members)], when, making.name)[0]
    assert isinstance(written, ev.Made)
    _say_what_is_open(log_home, written, now)
    return written


def _say_what_is_open(log_home: Path, made: ev.Made, now: float) -> None:
    """Say what the line of a new bottle leaves open; plates are looked for only where it was made earlier."""
    bottle = read_shelf(log_home).bottles.get(made.bottle)
    if bottle is None:
        return
    earlier = now - bottle.made > EARLIER
    plates = len(uses_of(log_home, bottle, now)) if earlier and not made.used else 0
    for said in hints(made, bottle, checked_recipes(log_home)[0], plates, now):
        click.echo(harmless(said), err=True)
