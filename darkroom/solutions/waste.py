"""Where a bottle's content goes when it is discarded. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from darkroom.solutions.bottle import Bottle
from darkroom.solutions.contents import contents, fixing_in_each
from darkroom.solutions.dangers import kinds_of
from darkroom.solutions.recipe import Recipe

WASTE = {
    "bath": "Silver waste is collected, never poured away: it poisons water.",
    "collodion": "Ether and alcohol: never down the drain, no flame; cadmium is collected apart. Never let "
    "collodion dry up in a bottle or a cloth: it burns violently.",
    "varnish": "Alcohol: never down the drain, no flame; cloths dry in the open, away from the house.",
    "fixer": "Used fixer holds silver: it is collected, never poured away. It never meets acid.",
    "intensifier": "Heavy metals are collected, never poured away.",
}
"""{what a bottle holds: what is said when it is discarded} (common practice, no source)."""
CYANIDE = "Cyanide waste never meets acid or bleach and is never poured away: licensed disposal."
CODES = "The supplier's safety sheet first, and your local codes."


def waste_text(bottle: Bottle, recipes: Mapping[str, Recipe], others: Iterable[Bottle] = ()) -> str:
    """Return what is said when a bottle is discarded.

    `recipes`, by the names of their files, tell what it holds; `others` are bottles of the book, for what was
    poured into it.
    """
    known = {each.id: each for each in (*others, bottle)}
    silver = any("silver" in kinds_of(held) for held in contents(bottle, recipes.get(bottle.recipe or "")))
    text = WASTE.get(bottle.what) or (WASTE["bath"] if silver else None)
    if fixing_in_each([*known.values()], recipes)[bottle.id] == "cyanide":
        text = CYANIDE
    return f"{CODES} {text}" if text else CODES
