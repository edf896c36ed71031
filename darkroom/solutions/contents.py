"""What a bottle holds, as far as its kind, recipe and name tell: substances by name. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.dangers import kinds_of
from darkroom.solutions.recipe import Recipe

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
_BY_NAME = frozenset({"stock", "other", "intensifier", "substratum", "cleaning", "edging"})
"""What may hold anything: there the words on the bottle tell."""
_WORDS = {
    "acid": "acid",
    "nitric": "nitric-acid",
    "vinegar": "acid",
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
"""{a word on a bottle: the substance or kind that it names}."""

_CYANIDE = re.compile(r"\b(?:cyanid|kcn\b)")
"""Called cyanide; a ferricyanide is none."""
_HYPO = re.compile(r"\bhypo\b|thiosul|\bhyposul")


def holds_cyanide(bottle: Bottle) -> bool:
    """Return whether a bottle is called a cyanide one by its recipe, its name or its batch."""
    words = " ".join(filter(None, (bottle.recipe, bottle.name, bottle.batch))).casefold()
    return bottle.what in ("fixer", "stock", "other") and any(word in words for word in ("cyanid", "kcn"))


def fixing_in(bottle: Bottle, recipe: Recipe | None = None) -> Fixing | None:
    """Return what a bottle fixes with, None where that is not known or it is no such bottle.

    It is told by `recipe`, which the bottle names, and by the words on the bottle. Cyanide beside hypo is
    cyanide.
    """
    parts = (
        () if recipe is None else (recipe.of or "", *(part.substance or "" for part in recipe.ingredients))
    )
    kinds = {kind for part in parts if part for kind in kinds_of(part)}
    said = [bottle.recipe, bottle.name, bottle.batch]
    said += [] if recipe is None else [recipe.name, *(part.what for part in recipe.ingredients)]
    words = " ".join(filter(None, said)).casefold()
    if holds_cyanide(bottle) or "cyanide" in kinds or _CYANIDE.search(words):
        return "cyanide"
    return "hypo" if "hypo" in kinds or _HYPO.search(words) else None


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


def contents(bottle: Bottle) -> tuple[str, ...]:
    """Return what a bottle holds, as `dangers` knows it.

    Of a stock and the like its name, recipe and batch tell: "nitric acid", "ammonia".
    """
    if holds_cyanide(bottle):
        return ("potassium-cyanide",)
    if bottle.what not in _BY_NAME:
        return _HOLDS.get(bottle.what, ())
    words = " ".join(filter(None, (bottle.recipe, bottle.name, bottle.batch))).casefold()
    named = [_WORDS[word] for word in re.findall(r"[a-z0-9]+", words) if word in _WORDS]
    return tuple(dict.fromkeys(named))


def substance_of(bottle: Bottle, of: str | None = None) -> str | None:
    """Return the substance whose strength a bottle's is; `of` is what its recipe says.

    A cyanide fixer is none of hypo's.
    """
    return of or (None if holds_cyanide(bottle) else SUBSTANCES.get(bottle.what))
