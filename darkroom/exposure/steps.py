"""Test plates: how far the dark slide is pulled, and what each strip gets in all. Pure."""

from __future__ import annotations

from itertools import pairwise
from math import isfinite, log10, sqrt

import msgspec

from darkroom.errors import QuantityError
from darkroom.process.text.durations import LEAST_TIME, MOST_TIME, say_duration

FEWEST, MOST = 2, 20
"""A plate holds so many strips that can be told apart. Common practice, no source."""
STRIPS = 5
"""The usual number: an odd one has a strip in the middle. Common practice, no source."""
LEAST_FACTOR, MOST_FACTOR = 1.05, 16.0
"""From one strip to the next: less is not seen, more says nothing in between. Common practice, no source."""


class TestPlate(msgspec.Struct, frozen=True):
    """The seconds of each opening in turn, and what each strip has got in all, first strip first.

    The totals grow by `factor` from strip to strip.
    """

    pulls: tuple[float, ...]
    totals: tuple[float, ...]
    factor: float


def steps(first: float, factor: float, count: int) -> TestPlate:
    """Return a test plate of `count` strips whose totals begin at `first` seconds and grow by `factor`.

    Raises QuantityError for a number of strips, a factor or a time that cannot be.
    """
    if not FEWEST <= count <= MOST:
        raise QuantityError(f"{count} strips: a test plate has {FEWEST} to {MOST}")
    if not (isfinite(factor) and LEAST_FACTOR <= factor <= MOST_FACTOR):
        raise QuantityError(
            f"a factor of {factor:g}: from strip to strip it is {LEAST_FACTOR:g} to {MOST_FACTOR:g}"
        )
    if not (isfinite(first) and first > 0):
        raise QuantityError(f"a first strip of {first:g} s cannot be: it is more than 0")
    return _test_plate([first * factor**strip for strip in range(count)], factor)


def proposed(low: float, middle: float, high: float, count: int = STRIPS) -> TestPlate:
    """Return the test plate for an interval of seconds: its middle strip on the middle, its ends on the ends.

    The ends lie on the ends exactly where the middle is the geometric mean; totals are rounded to two digits,
    which moves none by more than a fourteenth of a stop. Raises QuantityError.
    """
    if not (0 < low <= middle <= high and isfinite(high)):
        raise QuantityError(f"{low:g}, {middle:g}, {high:g} s is no interval of times")
    if not FEWEST <= count <= MOST:
        raise QuantityError(f"{count} strips: a test plate has {FEWEST} to {MOST}")
    factor = min(max((high / low) ** (1 / (count - 1)), LEAST_FACTOR), MOST_FACTOR)
    first = middle / sqrt(factor) ** (count - 1)
    exact = steps(first, factor, count)
    return _test_plate([_two_digits(total) for total in exact.totals], factor)


def _test_plate(totals: list[float], factor: float) -> TestPlate:
    pulls = (totals[0], *(after - before for before, after in pairwise(totals)))
    if min(pulls) < LEAST_TIME or totals[-1] > MOST_TIME:
        raise QuantityError(
            f"an opening of {min(pulls):.2g} s, {totals[-1]:.3g} s in all: an opening takes "
            f"{say_duration(LEAST_TIME)} at least, all together {say_duration(MOST_TIME)} at most"
        )
    return TestPlate(pulls=pulls, totals=tuple(totals), factor=factor)


def _two_digits(seconds: float) -> float:
    return round(seconds, 1 - int(log10(seconds) // 1))
