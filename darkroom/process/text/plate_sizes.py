"""The area of a plate from its size as people type it. Pure.

"18 x 24 cm" and "6 1/2 x 8 1/2 in" are measured; the old names and the sizes that are said without a unit
stand in tables. What is none of these is not known, and no area is guessed: "half plate" is 4¼ × 5½ inches
in America and 4¾ × 6½ in Britain.
"""

from __future__ import annotations

from functools import lru_cache

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.text.kit_words import plate_size

INCH = 2.54
NAMED = {
    "whole": (6.5, 8.5), "full": (6.5, 8.5), "quarter": (3.25, 4.25), "sixth": (2.75, 3.25),
    "ninth": (2.0, 2.5), "sixteenth": (1.375, 1.625), "1/1": (6.5, 8.5), "1/4": (3.25, 4.25),
    "1/6": (2.75, 3.25), "1/9": (2.0, 2.5), "1/16": (1.375, 1.625),
}  # fmt: skip
"""{name before "plate": inches} (common practice, no source)."""
IN_INCHES = (
    (4.0, 5.0), (5.0, 7.0), (5.0, 8.0), (6.5, 8.5), (8.0, 10.0), (10.0, 12.0), (11.0, 14.0), (12.0, 15.0),
    (14.0, 17.0), (16.0, 20.0), (20.0, 24.0),
)  # fmt: skip
IN_CENTIMETRES = (
    (6.5, 9.0), (9.0, 12.0), (10.0, 15.0), (13.0, 18.0), (18.0, 24.0), (24.0, 30.0), (30.0, 40.0),
    (40.0, 50.0),
)  # fmt: skip
"""Sizes that are said without a unit, and mean one (common practice, no source)."""
MOST = 40_000.0
"""cm²: a plate of 2 m by 2 m; beyond it the size is a slip."""

_NAME = late_pattern(r"(?:a )?([a-z]+|1/\d{1,2})[ -]?plate")
_BARE = late_pattern(r"(\d{1,3}(?:\.\d)?)\s*[x×]\s*(\d{1,3}(?:\.\d)?)")


@lru_cache(maxsize=1024)
def area(text: str) -> float | None:
    """Return the cm² of a plate of this size, None where the words leave it open."""
    words = " ".join(text.casefold().split())
    name = _NAME.fullmatch(words)
    if name is not None:
        sides = NAMED.get(name[1])
        return None if sides is None else sides[0] * sides[1] * INCH**2
    bare = _BARE.fullmatch(words)
    if bare is not None:
        pair = tuple(sorted((float(bare[1]), float(bare[2]))))
        factor = INCH if pair in IN_INCHES else 1.0 if pair in IN_CENTIMETRES else None
        return None if factor is None else pair[0] * pair[1] * factor**2
    try:
        width, height = plate_size(text)
    except QuantityError:
        return None
    found = width * height / 100.0
    return found if 0 < found <= MOST else None
