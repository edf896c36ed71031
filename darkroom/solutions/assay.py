"""A silver bath by its weighed chloride: the one measure that a used bath does not deceive. Pure.

A measured volume is precipitated with hydrochloric acid or salt, the silver chloride filtered off, dried and
weighed. The method is that of an early-1900s manual ("Photo"), which prints the factor 1.18.
"""

from __future__ import annotations

from darkroom.errors import QuantityError
from darkroom.solutions.strength import Strength, of_percent_wv
from darkroom.solutions.substances import SUBSTANCES

BOOK_FACTOR = 1.18
"""Grams of silver nitrate for a gram of silver chloride, as the manual prints it: half a per cent low."""


def _exact() -> float:
    nitrate, chloride = (SUBSTANCES[name].molar_mass for name in ("silver-nitrate", "silver-chloride"))
    assert nitrate is not None and chloride is not None
    return nitrate / chloride


FACTOR = _exact()
"""Grams of silver nitrate for a gram of silver chloride: 1.1853, by the molar masses."""


def silver_by_chloride(chloride_g: float, sample_ml: float, factor: float = FACTOR) -> Strength:
    """Return the strength of a bath of which so many mL gave so many grams of silver chloride.

    Raises QuantityError, BeyondTable.
    """
    for what, value in (("silver chloride", chloride_g), ("sample", sample_ml), ("factor", factor)):
        if not 0 < value < float("inf"):
            raise QuantityError(f"the {what} is {value:g}: it must be more than 0")
    return of_percent_wv("silver-nitrate", 100 * chloride_g * factor / sample_ml)
