"""What a bottle holds, as far as its kind, recipe and name tell: substances by name. Pure."""

from __future__ import annotations

import re

from darkroom.solutions.bottle import Bottle

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


def holds_cyanide(bottle: Bottle) -> bool:
    """Return whether a bottle is called a cyanide one by its recipe, its name or its batch."""
    words = " ".join(filter(None, (bottle.recipe, bottle.name, bottle.batch))).casefold()
    return bottle.what in ("fixer", "stock", "other") and any(word in words for word in ("cyanid", "kcn"))


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
