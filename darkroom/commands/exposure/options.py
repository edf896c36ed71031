"""What the commands about exposure share: texts of options read to numbers."""

from __future__ import annotations

from collections.abc import Callable
from math import log2
from typing import TypeVar

import click

from darkroom.errors import QuantityError

T = TypeVar("T")

json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


def value_of(option: str, text: str, reader: Callable[[str], T]) -> T:
    """Return what a reader makes of an option's text. Raises QuantityError that names the option."""
    try:
        return reader(text)
    except QuantityError as error:
        raise QuantityError(f"{option}: {error}") from None


def number(least: float, most: float, what: str) -> Callable[[str], float]:
    """Return a reader of a number without a unit between two bounds."""

    def reader(text: str) -> float:
        from darkroom.process.text.numbers import plain

        return plain(text, least=least, most=most, what=what)

    return reader


speed = number(0.001, 10000, "a speed on the ISO scale")
stops = number(-20, 20, "a number of stops")


def factor_stops(text: str) -> float:
    """Return the stops of a factor such as "1.4" or "×1.4", or of "1/2 stop". Raises QuantityError."""
    from darkroom.process.text.light_words import stops_lost

    if text.strip().lower().endswith(("stop", "stops")):
        return stops_lost(text)
    return log2(number(1, 1e6, "a factor (or stops, such as 1/2 stop)")(text.strip().strip("xX×")))


def filter_stops(text: str) -> float:
    """Return the stops that a filter takes, for "2x" or "1 stop". Raises QuantityError.

    A bare number is refused: a filter bears its factor, and the form of a plate takes stops.
    """
    from darkroom.process.text.light_words import stops_lost
    from darkroom.process.text.numbers import quoted

    if not any(sign.isalpha() or sign == "×" for sign in text):
        raise QuantityError(f"{quoted(text)} leaves open what it is: write 2x for a factor, or 1 stop")
    return stops_lost(text)


def ev_of(text: str, unit: str) -> float:
    """Return the EV at ISO 100 of a reading in a unit: ev, lux or foot-candles. Raises QuantityError."""
    from darkroom.exposure.meter import ev_of_foot_candles, ev_of_lux
    from darkroom.process.text.light_words import reading
    from darkroom.process.text.numbers import quoted

    bare = not any(character.isalpha() for character in text)
    value, read = reading(f"{text} {unit}" if bare else text)
    if read != unit:
        raise QuantityError(f"{quoted(text)} is a reading in {read}")
    if unit == "ev":
        return value
    return ev_of_lux(value) if unit == "lux" else ev_of_foot_candles(value)
