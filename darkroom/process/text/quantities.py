"""Text to numbers and back: durations in seconds, temperatures in °C, per cent. Pure.

A grammar of our own, because libraries misread what photographers write (`20 C` as coulombs).
Masses, volumes, lengths and concentrations are in `measures` and offered here too.
"""

from __future__ import annotations

import re

from darkroom.errors import QuantityError
from darkroom.process.text.measures import concentration, flow, length, mass, volume
from darkroom.process.text.numbers import NUMBER, quoted, split, value

__all__ = [
    "QuantityError", "concentration", "duration", "flow", "length", "mass", "percent",
    "say_duration", "show_celsius", "show_duration", "temperature", "volume",
]  # fmt: skip

LEAST_TIME = 0.1
MOST_TIME = 86400.0
COLDEST = -30.0
"""Colder than any darkroom, in °C."""
HOTTEST = 150.0
"""Hotter than any plate is warmed for its varnish, in °C."""

_TIME = "a time such as 3:30, 15 s or 3 min 30 s"
_HOURS = ("h", "hr", "hrs", "hour", "hours")
_MINUTES = ("m", "min", "mins", "minute", "minutes")
_SECONDS = ("s", "sec", "secs", "second", "seconds")
_FACTORS = {word: f for f, words in ((3600, _HOURS), (60, _MINUTES), (1, _SECONDS)) for word in words}
_COLONS = re.compile(r"(?:([0-9]{1,3}):)?([0-9]{1,4}):([0-9]{2}(?:\.[0-9]{1,6})?)")
_PART = re.compile(rf"\s*({NUMBER})[ \u00a0\u202f]*([A-Za-z]+)\.?")


def duration(text: str, *, least: float = LEAST_TIME, most: float = MOST_TIME) -> float:
    """Return the seconds in `3:30` (m:ss), `1:02:05` (h:mm:ss), `15 s`, `3 min 30 s` or `1/2 min`.

    Raises QuantityError when it cannot be read, has no unit, or lies outside `least` to `most` seconds.
    """
    text = text.strip()
    if text[:1] in ("-", "−"):
        raise QuantityError(f"{quoted(text)} is negative: expected {_TIME}")
    found = _COLONS.fullmatch(text)
    seconds = _of_colons(text, found) if found else _of_words(text)
    if not least <= seconds <= most:
        side = "short" if seconds < least else "long"
        raise QuantityError(
            f"{quoted(text)} is too {side}: times lie between {say_duration(least)} and {say_duration(most)}"
        )
    return seconds


def _of_colons(text: str, found: re.Match[str]) -> float:
    hours, minutes, seconds = found[1], float(found[2]), float(found[3])
    if seconds >= 60 or (hours is not None and minutes >= 60):
        raise QuantityError(f"{quoted(text)} cannot be read: after a colon comes a number below 60")
    return float(hours or 0) * 3600 + minutes * 60 + seconds


def _of_words(text: str) -> float:
    number, rest = split(text, _TIME)
    if not rest:
        raise QuantityError(f"{quoted(text)} has no unit: expected {_TIME}")
    seconds, last, end = 0.0, float("inf"), 0
    while end < len(text):
        found = _PART.match(text, end)
        factor = _FACTORS.get(found[2].lower()) if found else None
        if found is None or factor is None:
            raise QuantityError(f"{quoted(text)} cannot be read: expected {_TIME}")
        number = value(found[1])
        if factor >= last:
            raise QuantityError(f"{quoted(text)} cannot be read: hours come before minutes before seconds")
        if last != float("inf") and number >= 60:
            raise QuantityError(f"{quoted(text)} cannot be read: after minutes come less than 60 seconds")
        seconds, last, end = seconds + number * factor, factor, found.end()
    return seconds


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


def percent(text: str, *, bare: bool = True) -> float:
    """Return the number in `50 %` or `50 per cent`, 0 to 100; `50` alone only where `bare` is true.

    Raises QuantityError.
    """
    expected = "per cent between 0 and 100, such as 50 %"
    number, unit = split(text, expected)
    if not unit and not bare:
        raise QuantityError(f"{quoted(text)} has no unit: expected {expected}")
    if unit.lower() not in ("", "%", "per cent", "percent", "% rh"):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    if not 0 <= number <= 100:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return number


def show_duration(seconds: float) -> str:
    """Return whole seconds as a clock shows them: `0:15`, `3:30`, `1:02:05`; halves are rounded up."""
    sign = "-" if seconds <= -0.5 else ""
    whole = int(abs(seconds) + 0.5)
    hours, minutes = divmod(whole // 60, 60)
    if hours:
        return f"{sign}{hours}:{minutes:02}:{whole % 60:02}"
    return f"{sign}{minutes}:{whole % 60:02}"


def say_duration(seconds: float) -> str:
    """Return a duration in words: `2.5 s`, `15 s`, `3 min 30 s`, `1 h 2 min 5 s`; tenths below 10 s."""
    if seconds < 0:
        return "minus " + say_duration(-seconds)
    if seconds < 9.95:
        return f"{round(seconds, 1):g} s"
    whole = int(seconds + 0.5)
    parts = ((whole // 3600, "h"), (whole // 60 % 60, "min"), (whole % 60, "s"))
    return " ".join(f"{number} {unit}" for number, unit in parts if number)


def show_celsius(celsius: float) -> str:
    """Return a temperature to a tenth of a degree: `20 °C`, `19.5 °C`."""
    return f"{round(celsius, 1) + 0.0:g} °C"
