"""What the age of a bottle says of its content. Pure."""

from __future__ import annotations

import msgspec

from darkroom.solutions.bottle import DAY, Bottle


class AgeBand(msgspec.Struct, frozen=True, kw_only=True):
    """From `days` on a content is `word`; `says` is what that means, in a sentence without a stop."""

    days: float
    word: str
    says: str
    source: str


BANDS: dict[str, tuple[AgeBand, ...]] = {
    "collodion": (
        AgeBand(
            days=0.0,
            word="unripe",
            says="it gets better with age: ready in a week",
            source="Wilkinson, Photo-engraving (1890s); ready in a few hours, Estabrooke",
        ),
        AgeBand(
            days=7.0,
            word="good",
            says="it improves to six months",
            source="Wilkinson, Photo-engraving (1890s)",
        ),
        AgeBand(
            days=180.0,
            word="ageing",
            says="older than six months: mix it with new; the redder it is, the slower and harder",
            source="Wilkinson, Photo-engraving (1890s); colour and speed: a practitioner's experiment",
        ),
    ),
    "developer": (
        AgeBand(days=0.0, word="fresh", says="best freshly made", source="Every Boy's Book; Estabrooke"),
        AgeBand(
            days=7.0,
            word="ageing",
            says="iron turns to rust: make it anew when it is yellow-brown",
            source="Estabrooke; after how many days: common practice, no source",
        ),
    ),
}
"""{what a bottle holds: its bands, the youngest first}."""


def age_band(bottle: Bottle, now: float) -> AgeBand | None:
    """Return the band of a bottle's age at an instant, None where its content has none.

    A bottle that a clock made in the future is as old as nothing.
    """
    days = max(0.0, now - bottle.made) / DAY
    return next((band for band in reversed(BANDS.get(bottle.what, ())) if band.days <= days), None)
