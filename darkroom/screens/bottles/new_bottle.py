"""The first line of a new bottle, made of a filled form."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from random import SystemRandom
from typing import Any

from darkroom import __version__
from darkroom.errors import WrongUse
from darkroom.log.store.paths import new_plate_id
from darkroom.process.text import measures
from darkroom.screens.bottles.asking import Known
from darkroom.screens.bottles.line_fields import percent_of
from darkroom.screens.bottles.line_kinds import Line, when_of
from darkroom.solutions import events as ev
from darkroom.solutions import strength
from darkroom.solutions.bottle import DAY
from darkroom.solutions.density import SOLUTES


def new_bottle(values: Mapping[str, str], known: Known, now: datetime, bench: str) -> tuple[str, Line]:
    """Return (id of a new bottle, its first line). What is left empty is the recipe's.

    Raises WrongUse where recipe and content disagree, QuantityError and BeyondTable for a wrong figure.
    """
    texts = {name: value.strip() for name, value in values.items() if value.strip()}
    recipe = known.recipes.get(texts.get("recipe", ""))
    if recipe is not None and recipe.makes != texts["what"]:
        raise WrongUse(f"the recipe {texts['recipe']} makes {recipe.makes}, not {texts['what']}")
    volume = measures.volume(texts["volume"]) if "volume" in texts else None
    percent = percent_of(texts["strength"]) if "strength" in texts else None
    if recipe is not None:
        volume = recipe.volume.value if volume is None else volume
        percent = recipe.strength if percent is None else percent
        if percent is not None and recipe.of in SOLUTES:
            strength.of_percent_wv(recipe.of, percent)
    bottle = new_plate_id(datetime.now(UTC), SystemRandom())
    members: dict[str, Any] = {
        "bottle": bottle,
        "name": texts["name"],
        "what": texts["what"],
        "schema": ev.SCHEMA,
        "version": __version__,
        "bench": bench,
        "recipe": texts.get("recipe"),
        "batch": texts.get("batch"),
        "volume": volume,
        "strength": percent,
        "ripens": None if recipe is None or recipe.ready is None else recipe.ready.seconds / DAY,
    }
    return bottle, Line(ev.Made, members | when_of(texts, now))
