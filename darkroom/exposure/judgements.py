"""What a judgement says of the exposure: how many stops more the plate wanted, between two bounds. Pure.

(low, high) are in stops against what the plate was given, + is more light; a bound may be infinite. Nobody
judges more finely than the steps he thinks in, so a number of stops means all that would have been called by
that number: half a step to either side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

Bounds = tuple[float, float]

RIGHT = 0.25
"""`right` is up to so many stops off: half of the half stop in which exposures are judged."""

_GRAINS = ((1 / 2, 0.011), (1 / 3, 0.035), (1 / 4, 0.011))
"""Steps of a judgement, coarsest first, each with how far a number may be off it: 0.7 is two thirds.

A whole number counts as half stops: who says 1 could have said 1½.
"""
_FINEST = 1 / 8
"""The step of a number that is in none of them, such as one that was computed. Common practice, no source."""


def from_stops(stops: float) -> Bounds:
    """Return the bounds that a number of stops means; raises ValueError for one that is not finite."""
    if not math.isfinite(stops):
        raise ValueError("stops are a finite number")
    half = _grain(stops) / 2
    return (stops - half, stops + half)


def from_word(word: str) -> Bounds:
    """Return the bounds that `more`, `right` or `less` means; raises ValueError for another word.

    `more` and `less` begin where `right` ends, and are open outward.
    """
    if word == "right":
        return (-RIGHT, RIGHT)
    if word == "more":
        return (RIGHT, math.inf)
    if word == "less":
        return (-math.inf, -RIGHT)
    raise ValueError(f"no judgement '{word}': more, right or less")


def from_best_strip(totals: Sequence[float], best: int) -> Bounds:
    """Return the bounds that the best strip of a test plate means, against that strip's own total.

    `totals` are the seconds each strip got in all, first strip first and rising or falling; `best` counts
    from 1. The bounds lie half a step to either side, in stops; at either end of the test they are open
    outward. Raises ValueError for a strip that is not there, totals that are not positive or strips that got
    the same.
    """
    if not 1 <= best <= len(totals):
        raise ValueError(f"no strip {best} of {len(totals)}")
    if not all(total > 0 and math.isfinite(total) for total in totals):
        raise ValueError("every strip got more than 0 s")
    own = totals[best - 1]
    others = [math.log2(total / own) for at, total in enumerate(totals) if at != best - 1]
    if not all(others):
        raise ValueError(f"another strip got the same as strip {best}")
    below = max((step for step in others if step < 0), default=-math.inf)
    above = min((step for step in others if step > 0), default=math.inf)
    return (below / 2, above / 2)


def from_strip_and_more(
    totals: Sequence[float], best: int, stops: float | None = None, word: str | None = None
) -> Bounds:
    """Return the bounds of a best strip of which more is said: by stops, or by a word.

    Who calls a strip the best and wants half a stop more still means half a stop more than that strip; stops
    are finer than strips, so they alone count. A word says to which side of the strip, and both hold where
    they can. Raises ValueError as `from_best_strip`, `from_stops` and `from_word` do.
    """
    strip = from_best_strip(totals, best)
    if stops is not None:
        return from_stops(stops)
    if word is None:
        return strip
    said = from_word(word)
    low, high = max(strip[0], said[0]), min(strip[1], said[1])
    return (low, high) if low < high else said


def _grain(stops: float) -> float:
    for grain, off in _GRAINS:
        if abs(stops - round(stops / grain) * grain) <= off:
            return grain
    return _FINEST
