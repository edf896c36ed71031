"""A bottle in a few words, for the hand that chooses one. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_strength import strength_of
from darkroom.solutions.bottle_words import percent_text
from darkroom.solutions.care import due_of, in_order, recipe_of
from darkroom.solutions.recipe import Recipe
from darkroom.solutions.uses import Use, tally


def told(bottle: Bottle, recipes: Mapping[str, Recipe], uses: Sequence[Use], now: float) -> str:
    """Return strength, plates and the first care due of a bottle: `9.8 %, 12 plates, filter the bath`.

    `uses` are its own. A strength that nothing tells is left out, and so is a care that is not due.
    """
    recipe, _ = recipe_of(bottle, recipes)
    strength = strength_of(bottle, uses, None if recipe is None else recipe.of)
    plates = tally(uses).plates
    parts = [f"{plates} plate{'' if plates == 1 else 's'}"]
    if strength is not None:
        parts.insert(0, f"{'at least ' if strength.at_least else ''}{percent_text(strength.percent_wv)}")
    due = next((due for due in in_order(due_of(bottle, recipes, uses, now)) if due.now), None)
    if due is not None:
        parts.append(due.says[:1].lower() + due.says[1:].rstrip("."))
    return ", ".join(parts)
