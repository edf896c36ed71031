"""The first line of a new bottle, made of a filled form."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from random import SystemRandom

from darkroom import __version__
from darkroom.log.store.paths import new_plate_id
from darkroom.process.text import measures
from darkroom.screens.bottles.asking import Known
from darkroom.screens.bottles.line_kinds import Line, when_of
from darkroom.solutions import events as ev
from darkroom.solutions.making import Making, members_of, ripening


def new_bottle(values: Mapping[str, str], known: Known, now: datetime, bench: str) -> tuple[str, Line]:
    """Return (id of a new bottle, its first line). What is left empty is the recipe's.

    Raises WrongUse where recipe and content disagree, QuantityError and BeyondTable for a wrong figure.
    """
    texts = {name: value.strip() for name, value in values.items() if value.strip()}
    making = Making(
        what=texts["what"],
        name=texts["name"],
        recipe=texts.get("recipe"),
        volume=measures.volume(texts["volume"]) if "volume" in texts else None,
        strength=measures.typed_percent(texts["strength"]) if "strength" in texts else None,
        batch=texts.get("batch"),
        used="used" in texts,
        ripens=ripening(texts["ripens"]) if "ripens" in texts else None,
    )
    recipe = known.recipes.get(making.recipe or "")
    members = members_of(making, recipe, known.bottles.values(), now.timestamp())
    bottle = new_plate_id(datetime.now(UTC), SystemRandom())
    first = {"bottle": bottle, "version": __version__, "bench": bench}
    return bottle, Line(ev.Made, {**first, **members, **when_of(texts, now)})
