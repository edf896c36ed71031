"""A recipe made larger or smaller: to a volume, or to what is left of an ingredient. Pure.

Every amount is multiplied by one number, so the ratios stay, and so do strength, times and steps. What a
care counts, plates and their area, is multiplied too: a litre of bath serves twice the plates of half of it.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from darkroom.errors import QuantityError, nearest
from darkroom.solutions.recipe import Amount, Care, Due, Ingredient, Recipe, Unit

LEAST_ML, MOST_ML = 0.1, 1e6
"""A recipe makes between two drops and a cubic metre: beyond that the number is a slip."""
WHOLE_PLATES = 1
_UNITS: Mapping[Unit, str] = {"g": "weighed: say how many grams", "mL": "measured: say how many millilitres"}


def to_volume(recipe: Recipe, volume: Amount) -> Recipe:
    """Return the recipe for a volume. Raises QuantityError for less than two drops or over a cubic metre.

    The volume keeps its old unit and which ounce it took, and so does what fills up to it.
    """
    made = scaled(recipe, volume.value / recipe.volume.value)
    parts = tuple(replace(part, amount=volume) if part.fills else part for part in made.ingredients)
    return replace(made, volume=volume, ingredients=parts)


def to_ingredient(recipe: Recipe, name: str, left: Amount) -> Recipe:
    """Return as much of the recipe as what is left of one ingredient makes.

    Raises QuantityError when no ingredient has that name or several have, when it fills up the whole, so
    that what is needed of it is not known, or when it is weighed and a volume was given.
    """
    found = recipe.called(name)
    if len(found) > 1:
        raise QuantityError(f"'{name[:40]}' may be {' or '.join(part.what for part in found)}: which?")
    if not found:
        names = [one.substance or one.what.replace(" ", "-") for one in recipe.ingredients if not one.fills]
        near = nearest(name.casefold().replace(" ", "-"), names)
        hint = f" (did you mean '{near}'?)" if near else f": it has {', '.join(names)}"
        raise QuantityError(f"'{name[:40]}' is no ingredient of {recipe.name}{hint}")
    part = found[0]
    if part.fills:
        raise QuantityError(f"{part.what} fills up to the whole: say how much to make instead")
    if part.amount.unit != left.unit:
        raise QuantityError(f"{part.what} is {_UNITS[part.amount.unit]}")
    return scaled(recipe, left.value / part.amount.value)


def scaled(recipe: Recipe, factor: float) -> Recipe:
    """Return `factor` times the recipe. Raises QuantityError when it makes too little or too much."""
    volume = recipe.volume.value * factor
    if not LEAST_ML <= volume <= MOST_ML:
        raise QuantityError(f"that makes {volume:.3g} mL: a recipe makes {LEAST_ML:g} mL to {MOST_ML:g} mL")
    return replace(
        recipe,
        volume=_times(recipe.volume, factor),
        ingredients=tuple(_part(part, factor) for part in recipe.ingredients),
        care=cares_for(recipe, volume),
    )


def cares_for(recipe: Recipe, volume: float) -> tuple[Care, ...]:
    """Return what a bottle of `volume` mL of the recipe needs: plates and area counted in proportion."""
    factor = volume / recipe.volume.value
    return tuple(replace(care, after=_due(care.after, factor)) for care in recipe.care)


def _part(part: Ingredient, factor: float) -> Ingredient:
    return replace(part, amount=_times(part.amount, factor))


def _times(amount: Amount, factor: float) -> Amount:
    old = None if amount.old is None else (amount.old[0] * factor, amount.old[1])
    return replace(amount, value=amount.value * factor, old=old)


def _due(due: Due, factor: float) -> Due:
    plates = None if due.plates is None else max(WHOLE_PLATES, round(due.plates * factor))
    return replace(due, plates=plates, area=None if due.area is None else due.area * factor)
