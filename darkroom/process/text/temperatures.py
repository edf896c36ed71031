"""Text to °C and back. Pure.

A grammar of our own, because libraries misread what photographers write (`20 C` as coulombs).
"""

from __future__ import annotations

import re
from functools import lru_cache

from darkroom.errors import QuantityError
from darkroom.process.text.numbers import quoted, split

COLDEST = -30.0
"""Colder than any darkroom, in °C."""


HOTTEST = 150.0
"""Hotter than any plate is warmed for its varnish, in °C."""


def temperature(text: str) -> float:
    """Return the °C in `20C`, `20 °C`, `68F` or `68 °F`; the unit is required. Raises QuantityError."""
    expected = "a temperature such as 20 °C or 68 °F"
    number, unit = split(text, expected)
    scale = re.sub(r"^(?:°|º|˚|deg\.?|degrees?)\s*", "", unit.lower()).strip()
    if not scale:
        raise QuantityError(f"{quoted(text)} has no unit: expected {expected}")
    if scale in ("c", "celsius", "centigrade") or unit == "℃":
        celsius = number
    elif scale in ("f", "fahrenheit") or unit == "℉":
        celsius = (number - 32) / 1.8
    else:
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    if not COLDEST <= celsius <= HOTTEST:
        raise QuantityError(
            f"{quoted(text)} is absurd: temperatures lie between {COLDEST:g} °C and {HOTTEST:g} °C"
        )
    return celsius


@lru_cache(1024)
def show_celsius(celsius: float) -> str:
    """Return a temperature to a tenth of a degree: `20 °C`, `19.5 °C`."""
    return f"{round(celsius, 1) + 0.0:g} °C"
