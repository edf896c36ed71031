"""What is written of a lens: its f-number, its focal length. Pure.

Free words are searched and nothing is guessed: a stop of another scale, or a lens without a length in its
name, has no number here. A field that asks for one gets its number from `aperture`.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.text.numbers import plain, quoted

WIDEST, SMALLEST = 0.5, 512.0
"""The f-numbers that are believed; beyond them is a slip."""
FRONT = (0.5, 3.0)
"""Pupil magnifications of front groups that are believed: 1.05 to 1.3 in portrait lenses (from memory)."""
UNIFORM_SYSTEM = 16.0
"""The Uniform System's number is N²/16, so that f/4 is 1 (Royal Photographic Society, 1881; from memory)."""
_UNIFORM = late_pattern(r"\s*u\.?\s?s\.?\s*(\d{1,4}(?:[.,]\d{1,3})?)\s*", re.IGNORECASE)
_APERTURE = late_pattern(r"(?:\bf|ƒ)\s*[/:]?\s*(\d{1,3}(?:[.,]\d{1,2})?)(?![\d.,]*\d)", re.IGNORECASE)
_NUMBER = late_pattern(r"\s*(?:(?:f|ƒ)\s*[/:]?|u\.?\s?s\.?)?\s*[-−]?[\d.,]+\s*", re.IGNORECASE)
"""What is meant as an f-number and as nothing else, right or wrong."""
_FOCAL = late_pattern(
    r"(\d{1,4}(?:[.,]\d{1,2})?)\s*(mm|cm|inch(?:es)?|in(?=\s*(?:$|[.,;)]|[fƒ][\s/:\d]))|[\"″])", re.IGNORECASE
)
"""A number with a unit of length. "3 in brass" is none: `in` stands at the end, or before a sign or `f/`."""
_MILLIMETRES = {"mm": Fraction(1), "cm": Fraction(10)}
_INCH = Fraction(254, 10)


@lru_cache(maxsize=1024)
def f_number(words: str | None) -> Fraction | None:
    """Return the f-number in words such as `f/5.6` or `F 8`, or None: other scales are not guessed at."""
    match = _APERTURE.search(words or "")
    value = Fraction(match[1].replace(",", ".")) if match else Fraction(0)
    return value if WIDEST <= value <= SMALLEST else None


def is_number(words: str) -> bool:
    """Return whether words are a number alone, as "8", "f/0" or "US 16": no stop has such a name."""
    return _NUMBER.fullmatch(words) is not None


def focal_length(words: str | None) -> Fraction | None:
    """Return the focal length in mm from words such as `210 mm`, `21 cm` or `8 in`, or None."""
    match = _FOCAL.search(words or "")
    if match is None:
        return None
    value = Fraction(match[1].replace(",", ".")) * _MILLIMETRES.get(match[2].lower(), _INCH)
    return value if value > 0 else None


def of_uniform(number: float) -> float:
    """Return the f-number of a number of the Uniform System."""
    return math.sqrt(number * UNIFORM_SYSTEM)


def magnification(text: str) -> float:
    """Return the size of the picture against the thing, for "1/2", "1:4" or "0.5". Raises QuantityError."""
    what = "a size such as 1/2, or 1 for life size,"
    return plain(text.replace(":", "/"), least=1e-4, most=100.0, what=what)


def believed(f_number: float) -> float:
    """Return an f-number that was reckoned from lengths. Raises QuantityError for one that no lens has."""
    if WIDEST <= f_number <= SMALLEST:
        return f_number
    expected = f"expected f/{WIDEST:g} to f/{SMALLEST:g}; look at the unit"
    raise QuantityError(f"f/{f_number:.3g} is no f-number of a lens: {expected}")


def aperture(text: str) -> float:
    """Return the f-number for "8", "f/5.6", "f 11" or "US 8", where an f-number is asked for.

    Raises QuantityError.
    """
    expected = f"an f-number between {WIDEST:g} and {SMALLEST:g}, such as f/5.6"
    body = re.sub(r"^\s*(?:f|ƒ)\s*[/:]?\s*", "", text, flags=re.IGNORECASE).strip().replace(",", ".")
    uniform = _UNIFORM.fullmatch(text)
    if uniform is None and not re.fullmatch(r"\d{1,4}(?:\.\d{1,3})?", body):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    number = float(body) if uniform is None else of_uniform(float(uniform[1].replace(",", ".")))
    if not WIDEST <= number <= SMALLEST:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return number
