"""What is written of a lens: its f-number, its focal length. Pure.

Free words are searched and nothing is guessed: a stop of another scale, or a lens without a length in its
name, has no number here. A field that asks for one gets its number from `aperture`.
"""

from __future__ import annotations

import re
from fractions import Fraction

from darkroom.errors import QuantityError
from darkroom.process.text.numbers import quoted

WIDEST, SMALLEST = 0.5, 512.0
"""The f-numbers that are believed; beyond them is a slip."""
_APERTURE = re.compile(r"(?:\bf|ƒ)\s*[/:]?\s*(\d{1,3}(?:[.,]\d{1,2})?)", re.IGNORECASE)
_FOCAL = re.compile(
    r"(\d{1,4}(?:[.,]\d{1,2})?)\s*(mm|cm|inch(?:es)?|in(?=\s*(?:$|[.,;)]|[fƒ][\s/:\d]))|[\"″])", re.IGNORECASE
)
"""A number with a unit of length. "3 in brass" is none: `in` stands at the end, or before a sign or `f/`."""
_MILLIMETRES = {"mm": Fraction(1), "cm": Fraction(10)}
_INCH = Fraction(254, 10)


def f_number(words: str | None) -> Fraction | None:
    """Return the f-number in words such as `f/5.6` or `F 8`, or None: other scales are not guessed at."""
    match = _APERTURE.search(words or "")
    value = Fraction(match[1].replace(",", ".")) if match else Fraction(0)
    return value if value > 0 else None


def focal_length(words: str | None) -> Fraction | None:
    """Return the focal length in mm from words such as `210 mm`, `21 cm` or `8 in`, or None."""
    match = _FOCAL.search(words or "")
    if match is None:
        return None
    value = Fraction(match[1].replace(",", ".")) * _MILLIMETRES.get(match[2].lower(), _INCH)
    return value if value > 0 else None


def aperture(text: str) -> float:
    """Return the f-number for "8", "f/5.6" or "f 11", where an f-number is asked for.

    Raises QuantityError.
    """
    expected = f"an f-number between {WIDEST:g} and {SMALLEST:g}, such as f/5.6"
    body = re.sub(r"^\s*(?:f|ƒ)\s*[/:]?\s*", "", text, flags=re.IGNORECASE).strip().replace(",", ".")
    if not re.fullmatch(r"\d{1,4}(?:\.\d{1,3})?", body):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    if not WIDEST <= float(body) <= SMALLEST:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return float(body)
