"""The relative humidity of a room: `55 %`, or one of four words. Pure.

Who has no hygrometer still knows a damp cellar from a dry attic. What the words stand for is common practice,
no source.
"""

from __future__ import annotations

from darkroom.errors import QuantityError, nearest
from darkroom.process.text.numbers import percent, quoted

HUMIDITY_WORDS = {"damp": 80.0, "ordinary": 50.0, "dry": 30.0, "very dry": 20.0}
"""Relative humidity in per cent for each word."""


def humidity(text: str, *, bare: bool = True) -> float:
    """Return per cent relative humidity for `55 %` or `dry`; `55` alone only where `bare` is true.

    Raises QuantityError.
    """
    word = " ".join(text.lower().split())
    if word in HUMIDITY_WORDS:
        return HUMIDITY_WORDS[word]
    if not any(character.isalpha() for character in word) or any(c.isdigit() for c in word):
        return percent(text, bare=bare)
    near = nearest(word, HUMIDITY_WORDS)
    hint = f" (did you mean '{near}'?)" if near else ""
    raise QuantityError(
        f"{quoted(text)} is no humidity: expected per cent such as 50 %, or {', '.join(HUMIDITY_WORDS)}{hint}"
    )


def humidity_word(text: str) -> str | None:
    """Return the word of `HUMIDITY_WORDS` that a text is, or None."""
    word = " ".join(text.lower().split())
    return word if word in HUMIDITY_WORDS else None


def humidity_text(text: str) -> str:
    """Return a humidity as it is shown: "dry (30 %)", "55 %". Raises QuantityError."""
    word, value = humidity_word(text), humidity(text)
    return f"{value:g} %" if word is None else f"{word} ({value:g} %)"


def hand_origin(text: str) -> str:
    """Return where a typed humidity is from: `hand`, with the word where one was typed: `hand: dry`."""
    word = humidity_word(text)
    return "hand" if word is None else f"hand: {word}"
