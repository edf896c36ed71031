"""What a bottle holds, as far as its kind, recipe and name tell: substances by name. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from darkroom.late_patterns import late_pattern
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.dangers import kinds_of
from darkroom.solutions.recipe import Recipe
from darkroom.solutions.substances import SUBSTANCES as TABLE

Fixing = Literal["hypo", "cyanide"]
"""What a bottle fixes with."""

SUBSTANCES = {"bath": "silver-nitrate", "developer": "ferrous-sulphate", "fixer": "hypo"}
"""{what a bottle holds: the substance whose strength is meant} where no recipe says another."""
_HOLDS = {
    "bath": ("silver-nitrate",),
    "developer": ("ferrous-sulphate", "acid"),
    "collodion": ("collodion",),
    "varnish": ("sandarac-varnish",),
    "fixer": ("hypo",),
}
"""{what a bottle holds: the substances and kinds to ask `dangers` for}."""
_ANYTHING = frozenset({"stock", "other", "intensifier", "substratum", "cleaning", "edging"})
"""What may hold anything: there the recipe and the words on the bottle tell."""
_BY_RECIPE = _ANYTHING | {"fixer"}
"""Where what goes in by the recipe counts too. A collodion's or a varnish's is more than the sum of it."""
_MAY_FIX = frozenset({"fixer", "stock", "other"})
"""Where a word on the bottle says that it holds cyanide; a developer may be called one for cyanide."""
_WORDS = {
    "acid": "acid",
    "acetic": "acetic-acid",
    "glacial": "acetic-acid",
    "vinegar": "acid",
    "nitric": "nitric-acid",
    "hydrochloric": "acid",
    "muriatic": "acid",
    "sulphuric": "acid",
    "sulfuric": "acid",
    "citric": "acid",
    "formic": "acid",
    "alkali": "alkali",
    "carbonate": "alkali",
    "bicarbonate": "alkali",
    "ammonia": "ammonia",
    "silver": "silver-nitrate",
    "agno3": "silver-nitrate",
    "hypo": "hypo",
    "ether": "ether",
    "alcohol": "alcohol",
    "spirit": "alcohol",
    "iodine": "iodine",
}
"""{a word on a bottle or of an ingredient: the substance or kind that it names}."""

_CYANIDE = late_pattern(r"(?<!ferri)(?<!ferro)cyanid|(?<![a-z])kcn(?![a-z])")
"""Called cyanide; a ferricyanide is none."""
_HYPO = late_pattern(r"\bhypo\b|thiosul|\bhyposul")


def holds_cyanide(bottle: Bottle, recipe: Recipe | None = None) -> bool:
    """Return whether a bottle holds cyanide by what goes into its recipe, or by the words on it.

    `recipe` is the one that the bottle names, where it is at hand.
    """
    if any("cyanide" in kinds_of(part) or _CYANIDE.search(part) for part in _ingredients(recipe)):
        return True
    return bottle.what in _MAY_FIX and _CYANIDE.search(_words(bottle, recipe)) is not None


def fixing_in(bottle: Bottle, recipe: Recipe | None = None) -> Fixing | None:
    """Return what a bottle fixes with, None where that is not known or it is no such bottle.

    It is told by `recipe`, which the bottle names, and by the words on the bottle. Cyanide beside hypo is
    cyanide.
    """
    if holds_cyanide(bottle, recipe):
        return "cyanide"
    parts = _ingredients(recipe)
    words = " ".join([_words(bottle, recipe), *parts])
    return "hypo" if any("hypo" in kinds_of(part) for part in parts) or _HYPO.search(words) else None


def fixing_in_each(bottles: Sequence[Bottle], recipes: Mapping[str, Recipe]) -> dict[str, Fixing | None]:
    """Return {bottle: what it fixes with}; one into which a bottle with cyanide was poured has cyanide.

    `recipes` are by the name of their file. A bottle that was poured out and discarded since counts too.
    """
    found = {bottle.id: fixing_in(bottle, recipes.get(bottle.recipe or "")) for bottle in bottles}
    poured = {(source, bottle) for each in bottles for source, bottle in _poured(each) if bottle in found}
    spreading = True
    while spreading:
        reached = {
            into for source, into in poured if found.get(source) == "cyanide" and found[into] != "cyanide"
        }
        found |= dict.fromkeys(reached, "cyanide")
        spreading = bool(reached)
    return found


def _poured(bottle: Bottle) -> Iterator[tuple[str, str]]:
    """Yield (from, into): the ids of the bottles that the lines of a bottle say were poured together."""
    for entry in bottle.entries:
        event = entry.event
        if isinstance(event, ev.Made):
            yield from ((source, bottle.id) for source in event.from_)
        elif isinstance(event, ev.ToppedUp) and event.from_:
            yield event.from_, bottle.id
        elif isinstance(event, ev.DrawnOff) and event.to:
            yield bottle.id, event.to


def contents(bottle: Bottle, recipe: Recipe | None = None) -> tuple[str, ...]:
    """Return what a bottle holds, as `dangers` knows it.

    Of a stock and the like its recipe, its name and its batch tell: "nitric acid", "ammonia".
    """
    if holds_cyanide(bottle, recipe):
        return ("potassium-cyanide",)
    found = [*_HOLDS.get(bottle.what, ())]
    if bottle.what in _ANYTHING:
        found += _named(_words(bottle, recipe))
    if bottle.what in _BY_RECIPE:
        for part in _ingredients(recipe):
            found += [part] if part in TABLE else _named(part)
    return tuple(dict.fromkeys(found))


def _ingredients(recipe: Recipe | None) -> list[str]:
    """Return what goes into a recipe: the substance's name, and the words that the recipe has for it."""
    if recipe is None:
        return []
    of = [recipe.of] if recipe.of else []
    parts = [word for part in recipe.ingredients for word in (part.substance, part.what.casefold()) if word]
    return [*of, *parts]


def _words(bottle: Bottle, recipe: Recipe | None) -> str:
    said = (bottle.recipe, bottle.name, bottle.batch, None if recipe is None else recipe.name)
    return " ".join(filter(None, said)).casefold()


def _named(words: str) -> list[str]:
    return [_WORDS[word] for word in re.findall(r"[a-z0-9]+", words) if word in _WORDS]


def substance_of(bottle: Bottle, of: str | None = None) -> str | None:
    """Return the substance whose strength a bottle's is; `of` is what its recipe says.

    A cyanide fixer is none of hypo's.
    """
    return of or (None if holds_cyanide(bottle) else SUBSTANCES.get(bottle.what))
