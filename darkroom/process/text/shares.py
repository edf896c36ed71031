"""Per cent by mass, per cent by volume, and parts: `8.4 % w/w`, `95 % v/v`, `1 + 9`, `1 in 10`. Pure.

`measures` reads them; a bare per cent is grams in 100 mL there and is refused here with the question.
"""

from __future__ import annotations

import re
from typing import Literal

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.text.numbers import quoted, split

Share = Literal["mass per cent", "volume per cent", "dilution"]

EXPECTED: dict[str, str] = {
    "mass per cent": "per cent by mass such as 8.4 % w/w",
    "volume per cent": "per cent by volume such as 95 % v/v",
    "dilution": "a dilution such as 1 + 9 or 1 in 10",
}
SAYS = {
    "w/w": "per cent by mass",
    "v/v": "per cent by volume",
    "w/v": "grams in 100 mL",
}
"""{kind of per cent: the words for it}."""
_WANTED = {"mass per cent": "w/w", "volume per cent": "v/v"}
_MOST_PARTS = 1e5
"""Parts of water to one beyond which a dilution is a slip."""
_PER_CENT = late_pattern(r"(?:%|per ?cent\.?)\s*(?:of\s+)?(.*)|(mass|weight|volume|vol)\.?\s*(?:%|per ?cent)")
_KINDS = {
    "": "", "w/v": "w/v", "m/v": "w/v", "weight/volume": "w/v",
    "w/w": "w/w", "m/m": "w/w", "by mass": "w/w", "by weight": "w/w", "mass": "w/w", "weight": "w/w",
    "v/v": "v/v", "by volume": "v/v", "vol": "v/v", "volume": "v/v", "abv": "v/v",
}  # fmt: skip
_JOINED = late_pattern(
    r"(?:parts?\s*)?(\+|in(?=[\s0-9])|to(?=[\s0-9])|:|/)\s*(.*)", re.IGNORECASE | re.DOTALL
)


def per_cent_of(unit: str) -> str | None:
    """Return which per cent a unit is: `w/w`, `v/v`, `w/v`, empty where that is open; None where it is
    none."""
    match = _PER_CENT.fullmatch(" ".join(unit.lower().split()))
    if match is None:
        return None
    return _KINDS.get((match[1] if match[2] is None else match[2]).strip("() ."))


def read(text: str, kind: Share) -> float:
    """Return per cent, or the stock's part of the whole. Raises QuantityError."""
    expected = EXPECTED[kind]
    number, unit = split(text, expected)
    if number < 0:
        raise QuantityError(f"{quoted(text)} is negative: expected {expected}")
    if kind == "dilution":
        return _parts(text, number, unit, expected)
    found, wanted = per_cent_of(unit), _WANTED[kind]
    if found is None:
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    if found == "":
        raise QuantityError(f"{quoted(text)} leaves open of what: expected {expected}; write '% {wanted}'")
    if found != wanted:
        raise QuantityError(
            f"{quoted(text)} is {SAYS[found]}: expected {expected}; the density is between them"
        )
    if not 0 < number <= 100:
        raise QuantityError(
            f"{quoted(text)} is out of range: expected {expected}, more than 0 and at most 100"
        )
    return number


def _parts(text: str, stock: float, rest: str, expected: str) -> float:
    match = _JOINED.fullmatch(rest)
    if match is None:
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    sign = match[1].lower()
    if sign not in ("+", "in"):
        raise QuantityError(
            f"{quoted(text)} leaves open whether the second number is water or the whole: write 1 + 9 for "
            "nine of water to one, 1 in 10 for one in ten of the whole"
        )
    other, left = split(match[2], expected)
    if left.lower().strip(".") not in ("", "part", "parts"):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    whole = stock + other if sign == "+" else other
    if not (stock > 0 and other > 0 and stock <= whole <= stock * _MOST_PARTS):
        raise QuantityError(f"{quoted(text)} is absurd: expected {expected}")
    return stock / whole
