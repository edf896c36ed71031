"""What a bottle holds, as far as its kind, recipe and name tell: substances by name. Pure."""

from __future__ import annotations

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


def holds_cyanide(bottle: Bottle) -> bool:
    """Return whether a bottle is called a cyanide one by its recipe, its name or its batch."""
    words = " ".join(filter(None, (bottle.recipe, bottle.name, bottle.batch))).casefold()
    return bottle.what in ("fixer", "stock", "other") and any(word in words for word in ("cyanid", "kcn"))


def contents(bottle: Bottle) -> tuple[str, ...]:
    """Return what a bottle holds, as `dangers` knows it."""
    return ("potassium-cyanide",) if holds_cyanide(bottle) else _HOLDS.get(bottle.what, ())


def substance_of(bottle: Bottle, of: str | None = None) -> str | None:
    """Return the substance whose strength a bottle's is; `of` is what its recipe says.

    A cyanide fixer is none of hypo's.
    """
    return of or (None if holds_cyanide(bottle) else SUBSTANCES.get(bottle.what))
