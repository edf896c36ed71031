"""What a recipe says how much of: a mass or a volume, an area of plates, a time in days. Pure."""

from __future__ import annotations

from typing import Literal

from darkroom.errors import QuantityError
from darkroom.process.text import measures
from darkroom.process.text.numbers import quoted, split

AMOUNT = "an amount such as 15 g, 100 mL, 40 gr or 2 US fl oz"
AREA = "an area such as 5000 cm2 or 800 sq in"
SPAN = "a time such as 12 h, 7 days or 2 weeks"
MOST_AREA = 1e8
"""Larger than 1 hectare is a slip."""
MOST_DAYS = 3660
_AREAS = {
    "cm2": 1.0, "cm²": 1.0, "sq cm": 1.0, "m2": 1e4, "m²": 1e4, "sq m": 1e4,
    "in2": 6.4516, "in²": 6.4516, "sq in": 6.4516, "square inches": 6.4516,
}  # fmt: skip
_SPANS = {
    "h": 3600.0, "hour": 3600.0, "hours": 3600.0, "d": 86400.0, "day": 86400.0, "days": 86400.0,
    "week": 604800.0, "weeks": 604800.0,
}  # fmt: skip


def amount(text: str) -> tuple[measures.Reading, Literal["g", "mL"]]:
    """Return what a text says in grams or in millilitres, whichever its unit is of. Raises QuantityError.

    An ounce or drachm that may be either, or is not settled, is refused with the question.
    """
    number, unit = split(text, AMOUNT)
    if not unit:
        raise QuantityError(f"{quoted(text)} has no unit: expected {AMOUNT}")
    if number < 0:
        raise QuantityError(f"{quoted(text)} is negative: expected {AMOUNT}")
    as_mass, as_volume = _read(text, "mass"), _read(text, "volume")
    is_open = [error for error in (as_mass, as_volume) if _leaves_open(error)]
    if isinstance(as_mass, measures.Reading) and not is_open:
        return as_mass, "g"
    if isinstance(as_volume, measures.Reading) and not is_open:
        return as_volume, "mL"
    if len(is_open) == 2 or isinstance(as_mass, measures.Reading):  # a drachm of a solid, or of a liquid
        raise QuantityError(
            f"{quoted(text)} leaves open which ounce or drachm: write 'avoirdupois' or 'apothecaries' before "
            "that of a solid, 'US fl' or 'imperial fl' before that of a liquid"
        )
    for error in (*is_open, as_mass, as_volume):
        if isinstance(error, QuantityError) and any(words in str(error) for words in _TELLING):
            raise error
    raise QuantityError(f"{quoted(text)} has a unit that is not known here: expected {AMOUNT}")


def is_metric(text: str) -> bool:
    """Return whether an amount that can be read is written in grams, millilitres or their multiples."""
    return split(text, AMOUNT)[1].lower().rstrip(".") in _METRIC


def area(text: str) -> float:
    """Return cm². Raises QuantityError."""
    return _in_units(text, AREA, _AREAS, MOST_AREA)


def span(text: str) -> float:
    """Return the seconds of hours, days or weeks. Raises QuantityError."""
    return _in_units(text, SPAN, _SPANS, MOST_DAYS * 86400.0)


_METRIC = frozenset(
    ("g", "gm", "gram", "grams", "gramme", "grammes", "mg", "kg", "ml", "cc", "ccm", "cm3", "cm³", "cl", "dl",
     "l", "litre", "litres", "liter", "liters", "millilitre", "millilitres", "milliliter", "milliliters")
)  # fmt: skip


_TELLING = ("leaves open", "is absurd", "(did you mean")


def _leaves_open(read: measures.Reading | QuantityError) -> bool:
    return isinstance(read, QuantityError) and "leaves open" in str(read)


def _read(text: str, kind: Literal["mass", "volume"]) -> measures.Reading | QuantityError:
    try:
        return measures.read(text, kind)
    except QuantityError as error:
        return error


def _in_units(text: str, expected: str, units: dict[str, float], most: float) -> float:
    number, unit = split(text, expected)
    if not unit:
        raise QuantityError(f"{quoted(text)} has no unit: expected {expected}")
    factor = units.get(" ".join(unit.lower().replace(".", "").split()))
    if factor is None:
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    if not 0 < number * factor <= most:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return number * factor
