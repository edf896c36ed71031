"""What is to be said of a time that is proposed: too short for a hand, long, beyond the wet time. Pure."""

from __future__ import annotations

from darkroom.exposure import by_hand
from darkroom.exposure.factors import LONG, LONG_SAYS
from darkroom.process.text.durations import show_short


def remarks(seconds: float, wet: float | None = None) -> tuple[str, ...]:
    """Return the sentences on an exposure of so many seconds, none for a usual one.

    `wet` is how long a plate stays wet in seconds, where that is known.
    """
    short = by_hand.too_short(seconds)
    if short is not None:
        return (short,)
    outlasting = outlasts(seconds, wet)
    return (*([outlasting] if outlasting else []), *(LONG_SAYS if seconds >= LONG else ()))


def outlasts(seconds: float, wet: float | None) -> str | None:
    """Return that an exposure outlasts the wet time; None where it does not, or nobody knows."""
    if wet is None or seconds <= wet:
        return None
    return f"{show_short(seconds)} in all: a plate stays wet about {show_short(wet)}"
