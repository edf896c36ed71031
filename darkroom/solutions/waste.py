"""Where a bottle's content goes when it is discarded. Pure."""

from __future__ import annotations

from darkroom.solutions.bottle import Bottle
from darkroom.solutions.contents import holds_cyanide

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


def waste_text(bottle: Bottle) -> str:
    """Return what is said when a bottle is discarded."""
    text = CYANIDE if holds_cyanide(bottle) else WASTE.get(bottle.what)
    return f"{CODES} {text}" if text else CODES
