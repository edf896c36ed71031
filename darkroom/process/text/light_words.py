"""What is written of light: its kind, a meter's reading, light lost to a filter. Pure."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

from darkroom.errors import QuantityError
from darkroom.process.text.numbers import plain, quoted, split

Unit = Literal["ev", "lux", "foot-candles"]
READING = "what the meter says at ISO 100, such as EV 10, 2560 lux or 238 foot-candles"
DARKEST, BRIGHTEST = -10.0, 25.0
"""Beyond these an EV is a slip: full sun is about 15 (common practice, no source)."""
_MOST_LIGHT = {"lux": 1e8, "foot-candles": 1e7}
_UNITS: dict[str, Unit] = {
    "": "ev", "ev": "ev", "lux": "lux", "lx": "lux",
    "foot-candles": "foot-candles", "foot-candle": "foot-candles", "footcandles": "foot-candles",
    "foot candles": "foot-candles", "fc": "foot-candles", "ft-c": "foot-candles",
}  # fmt: skip
LOST = "stops of light lost, such as 1, 2/3 stop or ×2"
_KIND_WORDS = {
    "sun": ("sun", "sunny", "sunlight", "sunshine"),
    "cloud": ("cloud", "clouds", "cloudy", "overcast"),
    "shade": ("shade", "shaded", "shadow"),
    "window": ("window", "windows"),
    "tungsten": ("tungsten",),
    "led": ("led", "leds"),
    "flash": ("flash", "flashes", "strobe"),
}
"""The words that name each of `LIGHT_KINDS`."""


@lru_cache(maxsize=1024)
def light_kind(words: str | None) -> str | None:
    """Return the one of `LIGHT_KINDS` that words name, as "window" for "north window".

    None where they name none or several: "sun through a window" is neither.
    """
    typed = set(re.findall(r"[a-z]+", (words or "").casefold()))
    kinds = [kind for kind, names in _KIND_WORDS.items() if typed.intersection(names)]
    return kinds[0] if len(kinds) == 1 else None


def reading(text: str) -> tuple[float, Unit]:
    """Return (value, unit) of a meter's reading; a bare number is an EV at ISO 100. Raises QuantityError."""
    body = re.sub(r"^\s*ev\b\s*", "", text, flags=re.IGNORECASE)
    sign = -1.0 if body.lstrip()[:1] in ("-", "−") else 1.0
    number, word = split(body.lstrip().lstrip("-−"), READING)
    unit = _UNITS.get(word.lower())
    if unit is None:
        raise QuantityError(f"{quoted(text)} cannot be read: expected {READING}")
    value = sign * number
    in_range = DARKEST <= value <= BRIGHTEST if unit == "ev" else 0 < value <= _MOST_LIGHT[unit]
    if not in_range:
        raise QuantityError(f"{quoted(text)} is out of range: expected {READING}")
    return value, unit


def stops_lost(text: str) -> float:
    """Return the stops of light lost for "1", "2/3 stop", "0.5 stops"; for a factor "×2" or "2x" its stops.

    Raises QuantityError for what cannot be read, is negative, or is more than 20 stops.
    """
    from math import log2

    body = text.strip().lower()
    factor = re.fullmatch(r"[x×]\s*(.+)|(.+?)\s*[x×]", body)
    if factor is not None:
        return log2(plain(factor[1] or factor[2], least=1.0, most=1e6, what="a factor, from ×1 on,"))
    number, word = split(text, LOST)
    if word.lower() not in ("", "stop", "stops"):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {LOST}")
    if not 0 <= number <= 20:
        raise QuantityError(f"{quoted(text)} is out of range: expected 0 to 20 {LOST}")
    return number
