"""What is written of a photographer's kit: stops, degrees of a place, sizes of plates. Pure."""

from __future__ import annotations

import re

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.text.lens_words import aperture
from darkroom.process.text.measures import length
from darkroom.process.text.numbers import quoted, split

STOP = "an f-number such as f/5.6, or the diameter of its opening such as 26 mm"
SIZE = "a size such as 83 × 108 mm or 3 1/4 × 4 1/4 in"
_TIMES = late_pattern(r"\s*[x×]\s*", re.IGNORECASE)
_SIDES = {"n": 1.0, "s": -1.0, "e": 1.0, "w": -1.0}


def stop(text: str) -> tuple[float | None, float | None]:
    """Return (f-number, None) for "f/5.6", "8" or "US 4", (None, mm) for a diameter. Raises QuantityError."""
    if re.match(r"\s*(?:[fƒ]\s*[/:]?|u\.?\s?s\.?)\s*[\d.]", text, re.IGNORECASE):
        return aperture(text), None
    _, unit = split(text, STOP)
    return (None, length(text)) if unit else (aperture(text), None)


def as_f_number(text: str) -> float | None:
    """Return the f-number that a text would be read as, or None."""
    try:
        return aperture(text)
    except QuantityError:
        return None


def latitude(text: str) -> float:
    """Return degrees, north positive, for "52.1", "-33.9" or "33.9 S". Raises QuantityError."""
    return _degrees(text, 90.0, "ns", "degrees of latitude from -90 to 90, such as 52.1 or 33.9 S")


def longitude(text: str) -> float:
    """Return degrees, east positive, for "5.1", "-77.6" or "77.6 W". Raises QuantityError."""
    return _degrees(text, 180.0, "ew", "degrees of longitude from -180 to 180, such as 5.1 or 77.6 W")


def plate_size(text: str) -> tuple[float, float]:
    """Return (width, height) in mm for "83 × 108 mm"; a unit that stands once is of both.

    Raises QuantityError.
    """
    sides = _TIMES.split(text.strip())
    if len(sides) != 2:
        raise QuantityError(f"{quoted(text)} cannot be read: expected {SIZE}")
    first, second = sides
    unit = split(second, SIZE)[1]
    if not unit:
        raise QuantityError(f"{quoted(text)} has no unit: expected {SIZE}")
    if not split(first, SIZE)[1]:
        first = f"{first} {unit}"
    return length(first), length(second)


def _degrees(text: str, most: float, letters: str, expected: str) -> float:
    number, side = split(text, expected)
    side = side.replace("°", "").strip().lower()
    if side and (side not in letters or number < 0):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    degrees = number * _SIDES[side] if side else number
    if not -most <= degrees <= most:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return degrees
