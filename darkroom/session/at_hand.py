"""Which bottles of the book are at hand for the plates to come, each with a name of its own. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from darkroom.bench.bottles_at_hand import BottleAtHand
from darkroom.process.text.plain_text import plain
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.contents import fixing_in_each
from darkroom.solutions.finding import date_made
from darkroom.solutions.recipe import Recipe

LONGEST_NAME = 40
"""A longer name is cut, in signs."""


def at_hand(bottles: Sequence[Bottle], recipes: Mapping[str, Recipe], now: float) -> tuple[BottleAtHand, ...]:
    """Return the bottles that are in use or ripen at an instant, the newest first.

    `recipes` tell what they hold, by the name of their file. Of bottles with one name each is told by the
    date on which it was made, of one date by its id as well.
    """
    states = {bottle.id: bottle.state(now) for bottle in bottles}
    kept = [bottle for bottle in bottles if states[bottle.id] in ("in use", "ripening")]
    kept.sort(key=lambda bottle: (bottle.made, bottle.id), reverse=True)
    fixing = fixing_in_each(bottles, recipes)
    names = {bottle.id: _name(bottle) for bottle in kept}
    for more in (date_made, _id):
        counts = Counter((bottle.what, names[bottle.id].casefold()) for bottle in kept)
        for bottle in kept:
            if counts[bottle.what, names[bottle.id].casefold()] > 1:
                names[bottle.id] = f"{names[bottle.id]} {more(bottle)}"
    return tuple(
        BottleAtHand(
            id=bottle.id,
            name=names[bottle.id],
            what=bottle.what,
            made=date_made(bottle),
            ripening=states[bottle.id] == "ripening",
            fixing=fixing[bottle.id],
        )
        for bottle in kept
    )


def _name(bottle: Bottle) -> str:
    return plain(bottle.name)[:LONGEST_NAME].strip() or bottle.id


def _id(bottle: Bottle) -> str:
    return bottle.id
