"""Test plates: how far the dark slide is pulled, and what each strip gets in all. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, isfinite, log2, log10, sqrt

import msgspec

from darkroom.errors import QuantityError
from darkroom.exposure import by_hand
from darkroom.process.text.durations import LEAST_TIME, MOST_TIME, say_duration, show_short

FEWEST, MOST = 2, 20
"""A plate holds so many strips that can be told apart. Common practice, no source."""
USUAL = (3, 5, 7)
"""Odd numbers, which have a strip in the middle: the least that keeps the strips `STOP` apart at most. Common
practice, no source."""
STOP = 2.0
"""From one strip to the next of a proposed plate, where so many strips reach: a stop."""
NEAREST, FURTHEST = 2.0 ** (1 / 3), 4.0
"""From one strip to the next of a proposed plate: a third of a stop to two. Common practice, no source."""
MOST_PROPOSED = 8
"""So many strips are proposed at most: each is a call and a push of the slide."""
LEAST_FACTOR, MOST_FACTOR = 1.05, 16.0
"""From one strip to the next: less is not seen, more says nothing in between. Common practice, no source."""


class TestPlate(msgspec.Struct, frozen=True):
    """The seconds of each opening in turn, and what each strip has got in all, first strip first.

    The totals grow by `factor` from strip to strip. `begins_by_hand`: the interval begins below a hand's
    shortest opening, and the plate begins there.
    """

    pulls: tuple[float, ...]
    totals: tuple[float, ...]
    factor: float
    begins_by_hand: bool = False


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


def proposed(low: float, middle: float, high: float, count: int | None = None) -> TestPlate:
    """Return the test plate for an interval of seconds: its middle strip on the middle, its ends on the ends.

    Without a `count` the interval chooses one of `USUAL`. The ends lie on the ends exactly where the middle
    is the geometric mean and the strips are `NEAREST` to `FURTHEST` apart; totals are rounded to two digits,
    which moves none by more than a fourteenth of a stop. No opening is shorter than a hand's
    (`by_hand.SHORTEST`): an interval that begins below it has a plate that begins there and grows by a stop
    from strip to strip until the interval is passed; one with strips too near to each other has fewer,
    further apart. Raises QuantityError, also where the middle itself is too short.
    """
    if not (0 < low <= middle <= high and isfinite(high)):
        raise QuantityError(f"{low:g}, {middle:g}, {high:g} s is no interval of times")
    if count is not None and not FEWEST <= count <= MOST:
        raise QuantityError(f"{count} strips: a test plate has {FEWEST} to {MOST}")
    short = by_hand.too_short(middle)
    if short is not None:
        raise QuantityError(f"{show_short(_two_digits(middle))} is {short}")
    wanted = usual_count(low, high) if count is None else count
    found = _around(middle, _between((high / low) ** (1 / (wanted - 1)), NEAREST, FURTHEST), wanted)
    if found is None and count is None and low >= by_hand.SHORTEST:
        found = _further_apart(low, middle, high, wanted)
    return _growing(low, high, count) if found is None else found


def usual_count(low: float, high: float) -> int:
    """Return how many strips an interval of seconds is given: those a stop apart, 3 to 7 of them."""
    return next((number for number in USUAL if high / low <= STOP ** (number - 1) * (1 + 1e-9)), USUAL[-1])


def _around(middle: float, factor: float, count: int) -> TestPlate | None:
    """Return the plate whose middle lies on the middle; None where a hand is too slow for it."""
    first = middle / sqrt(factor) ** (count - 1)
    totals = [_two_digits(first * factor**strip) for strip in range(count)]
    if round(min(_pulls(totals)), 1) < by_hand.SHORTEST:
        return None
    return _test_plate(totals, factor)


def _further_apart(low: float, middle: float, high: float, wanted: int) -> TestPlate | None:
    """Return the plate with the most strips below `wanted` that a hand makes around the middle, else None."""
    for number in (each for each in reversed(USUAL) if each < wanted):
        factor = (high / low) ** (1 / (number - 1))
        found = _around(middle, factor, number) if factor <= FURTHEST else None
        if found is not None:
            return found
    least = middle / (middle - by_hand.SHORTEST) if middle >= 2 * by_hand.SHORTEST else FURTHEST
    narrow = high / low <= least ** (USUAL[0] - 1)
    return _around(middle, max(least, NEAREST), USUAL[0]) if narrow else None


def _growing(low: float, high: float, count: int | None) -> TestPlate:
    """Return the plate that begins at the low end, or a hand's shortest opening, and passes the high one.

    It grows by a stop or more, and has no more strips than that takes, nor than `count`.
    """
    first = max(low, by_hand.SHORTEST)
    stops = log2(max(high / first, STOP))
    number = min(max(USUAL[0], 1 + ceil(stops - 1e-9)), MOST_PROPOSED if count is None else count)
    factor = _between(2.0 ** (stops / (number - 1)), STOP, FURTHEST)
    totals = [_two_digits(first * factor**strip) for strip in range(number)]
    return _test_plate(totals, factor, begins_by_hand=low < by_hand.SHORTEST)


def _pulls(totals: Sequence[float]) -> tuple[float, ...]:
    return (totals[0], *(after - before for before, after in pairwise(totals)))


def _between(value: float, least: float, most: float) -> float:
    return min(max(value, least), most)


def _test_plate(totals: Sequence[float], factor: float, begins_by_hand: bool = False) -> TestPlate:
    pulls = _pulls(totals)
    if min(pulls) < LEAST_TIME or totals[-1] > MOST_TIME:
        whole = f"more than {say_duration(MOST_TIME)}" if totals[-1] > MOST_TIME else show_short(totals[-1])
        raise QuantityError(
            f"the shortest opening is {show_short(min(pulls))}, {whole} in all: an opening takes "
            f"{say_duration(LEAST_TIME)} at least, all together {say_duration(MOST_TIME)} at most"
        )
    return TestPlate(pulls=pulls, totals=tuple(totals), factor=factor, begins_by_hand=begins_by_hand)


def _two_digits(seconds: float) -> float:
    return round(seconds, 1 - int(log10(seconds) // 1))
