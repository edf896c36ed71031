"""Text to seconds and back: `3:30`, `15 s`, `3 min 30 s`. Pure.

A grammar of our own, because libraries misread what photographers write (`1:4`).
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.text.numbers import NUMBER, quoted, split, value

LEAST_TIME = 0.1
MOST_TIME = 86400.0

_TIME = "a time such as 3:30, 15 s or 3 min 30 s"
_HOURS = ("h", "hr", "hrs", "hour", "hours")
_MINUTES = ("m", "min", "mins", "minute", "minutes")
_SECONDS = ("s", "sec", "secs", "second", "seconds")
_FACTORS = {word: f for f, words in ((3600, _HOURS), (60, _MINUTES), (1, _SECONDS)) for word in words}
_COLONS = late_pattern(r"(?:([0-9]{1,3}):)?([0-9]{1,4}):([0-9]{2}(?:\.[0-9]{1,6})?)")
_PART = late_pattern(rf"\s*({NUMBER})[ \u00a0\u202f]*([A-Za-z]+)\.?")


def duration(text: str, *, least: float = LEAST_TIME, most: float = MOST_TIME) -> float:
    """Return the seconds in `3:30` (m:ss), `1:02:05` (h:mm:ss), `15 s`, `3 min 30 s` or `1/2 min`.

    Raises QuantityError when it cannot be read, has no unit, or lies outside `least` to `most` seconds.
    """
    text = text.strip()
    if text[:1] in ("-", "−"):
        raise QuantityError(f"{quoted(text)} is negative: expected {_TIME}")
    match = _COLONS.fullmatch(text)
    seconds = _of_colons(text, match) if match else _of_words(text)
    if not least <= seconds <= most:
        side = "short" if seconds < least else "long"
        raise QuantityError(
            f"{quoted(text)} is too {side}: times lie between {say_duration(least)} and {say_duration(most)}"
        )
    return seconds


def _of_colons(text: str, match: re.Match[str]) -> float:
    hours, minutes, seconds = match[1], float(match[2]), float(match[3])
    if seconds >= 60 or (hours is not None and minutes >= 60):
        raise QuantityError(f"{quoted(text)} cannot be read: after a colon comes a number below 60")
    return float(hours or 0) * 3600 + minutes * 60 + seconds


def _of_words(text: str) -> float:
    number, rest = split(text, _TIME)
    if not rest:
        raise QuantityError(f"{quoted(text)} has no unit: expected {_TIME}")
    seconds, last, end = 0.0, float("inf"), 0
    while end < len(text):
        match = _PART.match(text, end)
        factor = _FACTORS.get(match[2].lower()) if match else None
        if match is None or factor is None:
            raise QuantityError(f"{quoted(text)} cannot be read: expected {_TIME}")
        number = value(match[1])
        if factor >= last:
            raise QuantityError(f"{quoted(text)} cannot be read: hours come before minutes before seconds")
        if last != float("inf") and number >= 60:
            raise QuantityError(f"{quoted(text)} cannot be read: after minutes come less than 60 seconds")
        seconds, last, end = seconds + number * factor, factor, match.end()
    return seconds


@lru_cache(4096)
def _clock(whole: int) -> str:
    hours, minutes = divmod(whole // 60, 60)
    return f"{hours}:{minutes:02}:{whole % 60:02}" if hours else f"{minutes}:{whole % 60:02}"


def show_duration(seconds: float) -> str:
    """Return whole seconds as a clock shows them: `0:15`, `3:30`, `1:02:05`; halves are rounded up."""
    return ("-" if seconds <= -0.5 else "") + _clock(int(abs(seconds) + 0.5))


def show_elapsed(seconds: float) -> str:
    """Return what a running clock shows: `3:30`; a part of a second is not shown, nor less than nothing."""
    return _clock(int(max(0.0, seconds)))


def show_left(seconds: float) -> str:
    """Return what is left as `1:05`; a part of a second counts as a whole one."""
    return show_elapsed(math.ceil(seconds - 1e-9))


def show_short(seconds: float) -> str:
    """Return a duration within a line of text: `2.5 s`, `8 s`, and from 100 s on `3:30`."""
    return f"{seconds:.3g} s" if seconds < 100 else show_elapsed(round(seconds))


def say_duration(seconds: float) -> str:
    """Return a duration in words: `2.5 s`, `15 s`, `3 min 30 s`, `1 h 2 min 5 s`; tenths below 10 s."""
    if seconds < 0:
        return "minus " + say_duration(-seconds)
    if seconds < 9.95:
        return f"{round(seconds, 1):g} s"
    whole = int(seconds + 0.5)
    parts = ((whole // 3600, "h"), (whole // 60 % 60, "min"), (whole % 60, "s"))
    return " ".join(f"{number} {unit}" for number, unit in parts if number)
