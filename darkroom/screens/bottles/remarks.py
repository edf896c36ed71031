"""What is said before a line of a bottle is written: the rules are those of `solutions/warnings.py`."""

from __future__ import annotations

from datetime import datetime

from darkroom.screens.bottles.asking import Known
from darkroom.screens.bottles.line_kinds import Line
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.recipe import name_key
from darkroom.solutions.warnings import warnings


def remarks(bottle: Bottle | None, line: Line, known: Known, now: datetime) -> tuple[str, ...]:
    """Return what must be said of a line; `bottle` is None for a new one."""
    instant = now.timestamp()
    event = line.event(1, now.isoformat(timespec="milliseconds"))
    others = [one for one in known.bottles.values() if bottle is None or one.id != bottle.id]
    said: list[str] = []
    if bottle is None:
        bottle = fold(
            event.bottle,
            [BottleEntry(place="new:1", bench="new", instant=instant, happened=event.at, event=event)],
        )
        assert bottle is not None
        recipe = known.recipes.get(bottle.recipe or "")
        said += [recipe.warning] if recipe is not None and recipe.warning else []
        alike = [one for one in others if name_key(one.name) == name_key(bottle.name)]
        said += [
            f"Another bottle has the name {one.name}: {one.what}, {one.state(instant)}."
            for one in alike
            if one.out_of_use != "discarded"
        ]
    recipe = known.recipe_of(bottle)
    told = known.accounts.get(bottle.id)
    strength = None if told is None else told.strength
    wanted = None if recipe is None else recipe.strength
    return (*said, *warnings(bottle, event, instant, others=others, strength=strength, wanted=wanted))
