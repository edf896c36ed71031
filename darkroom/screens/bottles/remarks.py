"""What is said before a line of a bottle is written: the rules are those of `solutions`."""

from __future__ import annotations

from datetime import datetime

from darkroom.screens.bottles.asking import Known
from darkroom.screens.bottles.line_kinds import Line, lines_of
from darkroom.solutions import making
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_words import line_words
from darkroom.solutions.events import Discarded, RecipeNamed, Withdrawn
from darkroom.solutions.warnings import warnings
from darkroom.solutions.waste import waste_text


def remarks(bottle: Bottle | None, line: Line, known: Known, now: datetime) -> tuple[str, ...]:
    """Return what must be said of a line; `bottle` is None for a new one."""
    event = line.event(1, now.isoformat(timespec="milliseconds"))
    instant = datetime.fromisoformat(event.when or event.at).timestamp()
    bottles = known.bottles.values()
    if bottle is None:
        return tuple(
            making.remarks(event, known.recipes.get(event.recipe or ""), bottles, instant, known.recipes)
        )
    if isinstance(event, Discarded):
        return (waste_text(bottle, known.recipes, bottles),)
    if isinstance(event, Withdrawn):
        words = line_words(event, lines_of(bottle), known.names())
        return (f"{words}. It stays in the book, marked.",)
    if isinstance(event, RecipeNamed):
        named = known.recipes.get(event.recipe)
        warned = warnings(bottle, event, instant, others=[one for one in bottles if one.id != bottle.id])
        return tuple(text for text in (named and named.warning, *warned) if text)
    told, recipe = known.accounts.get(bottle.id), known.recipe_of(bottle)
    return warnings(
        bottle,
        event,
        instant,
        others=[other for other in bottles if other.id != bottle.id],
        strength=None if told is None else told.strength,
        wanted=None if recipe is None else recipe.strength,
        recipes=known.recipes,
    )
