"""What the text of each field of a judgement means, and what is wrong with it. Pure."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from darkroom.bench import events as ev
from darkroom.bench.next_plate import WORDS
from darkroom.bench.steps import TOLD_OPEN
from darkroom.errors import WrongUse
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.plate.picture import path_of
from darkroom.log.review.corrections import stops, strip_of, text_of
from darkroom.process.text.durations import duration

FIRST_SEEN = "first seen"
"""The key of the detail that says when the image first showed in the developer."""


def next_plate(text: str) -> tuple[float | None, ev.ExposureWord | None]:
    """Return what the next plate should get, in stops or as more, right or less. Raises WrongUse."""
    for word in WORDS:
        if text.strip().casefold() == word:
            return None, word
    return stops(text), None


def strip_reader(strips: Sequence[float]) -> Callable[[str], int]:
    """Return what reads the number of a strip of a plate with these strips. It raises WrongUse."""
    return lambda text: strip_of(strip_number(text), strips)


def strips_hint(strips: Sequence[float]) -> str:
    """Return what is said of the strips, "The best strip. 1: 2 s, 2: 4 s, 3: 8 s.", or that none are."""
    if not strips:
        return "Of a test plate: this plate has no timed strips."
    return "The best strip. " + ", ".join(f"{n}: {seconds:g} s" for n, seconds in enumerate(strips, 1)) + "."


def strip_number(text: str) -> int:
    """Return the number of a strip, 1 to 99. Raises WrongUse."""
    digits = text.strip()
    if not (digits.isascii() and digits.isdigit() and 1 <= int(digits[:4]) <= 99):
        raise WrongUse(f"'{digits}' is no number of a strip: 1 to 99")
    return int(digits)


def key_and_value(text: str) -> tuple[str, str]:
    """Return the two parts of "key = value". Raises WrongUse without both, DarkroomError for odd text."""
    key, _, value = (piece.strip() for piece in text_of(text).partition("="))
    if not key or not value:
        raise WrongUse(f"'{text.strip()[:30]}' is not of the form key = value")
    return key, value


CHECKS: dict[str, Callable[[str], object]] = {
    "stars": str,
    "stops": next_plate,
    "strip": strip_number,
    "detail": key_and_value,
    PICTURE: path_of,
    TOLD_OPEN: duration,
    FIRST_SEEN: duration,
}
"""What reads the text of a field, by its kind; all others are free words."""
