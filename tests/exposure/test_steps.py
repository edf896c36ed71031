"""Test plates: openings and totals."""

from __future__ import annotations

import math
from itertools import accumulate, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import QuantityError
from darkroom.exposure.by_hand import SHORTEST, too_short
from darkroom.exposure.judgements import from_best_strip
from darkroom.exposure.steps import proposed, steps, usual_count


def test_five_strips_by_whole_stops() -> None:
    """2 s, factor 2, five strips: openings 2 2 4 8 16, totals 2 4 8 16 32."""
    test_plate = steps(2.0, 2.0, 5)
    assert test_plate.pulls == (2.0, 2.0, 4.0, 8.0, 16.0)
    assert test_plate.totals == (2.0, 4.0, 8.0, 16.0, 32.0)


@given(st.floats(2.0, 30.0), st.floats(1.05, 3.0), st.integers(2, 8))
def test_the_totals_are_the_sums_of_the_openings(first: float, factor: float, count: int) -> None:
    """Each strip has got all openings up to its own, and grows by the factor."""
    test_plate = steps(first, factor, count)
    assert list(accumulate(test_plate.pulls)) == pytest.approx(list(test_plate.totals))
    assert [first * factor**strip for strip in range(count)] == pytest.approx(list(test_plate.totals))


def test_a_test_plate_lies_on_its_interval() -> None:
    """2 to 32 s with 8 in the middle: five strips, a stop apart."""
    test_plate = proposed(2.0, 8.0, 32.0)
    assert test_plate.totals == (2.0, 4.0, 8.0, 16.0, 32.0)
    assert pytest.approx(test_plate.factor) == 2.0


def test_proposed_totals_can_be_called() -> None:
    """They are rounded to two digits, so none is off by a tenth of a stop."""
    test_plate = proposed(1.434, 5.678, 22.1, 5)
    assert all(float(f"{total:.2g}") == pytest.approx(total) for total in test_plate.totals)
    exact = [5.678 * test_plate.factor**step for step in range(-2, 3)]
    for total, wanted in zip(test_plate.totals, exact, strict=True):
        assert abs(math.log2(total / wanted)) < 0.1


def test_a_narrow_interval_still_has_strips_that_can_be_told_apart() -> None:
    """Where nothing is in doubt the strips lie a little apart, and their openings are no nothing."""
    test_plate = proposed(8.0, 8.0, 8.0, 3)
    assert test_plate.totals[0] < 8.0 == test_plate.totals[1] < test_plate.totals[2]


@pytest.mark.parametrize(
    ("interval", "totals", "begins_by_hand"),
    [
        ((0.16, 1.4, 13.0), (1.0, 2.0, 4.0, 8.0, 16.0), True),
        ((0.57, 5.4, 51.0), (1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0), True),
        ((0.9, 1.1, 1.3), (1.0, 2.0, 4.0), True),
        ((2.0, 2.83, 4.0), (1.8, 2.8, 4.4), False),
        ((1.2, 3.0, 7.5), (1.2, 3.0, 7.5), False),
        ((1.2, 1.5, 1.8), (1.2, 2.4, 4.8), False),
        ((3.0, 40.0, 8000.0), (3.0, 9.3, 29.0, 88.0, 270.0, 840.0, 2600.0, 8000.0), False),
    ],
)
def test_a_hand_can_make_the_strips_that_are_proposed(
    interval: tuple[float, float, float], totals: tuple[float, ...], begins_by_hand: bool
) -> None:
    """A plate begins at a hand's shortest opening and passes the interval; near strips lie further apart."""
    test_plate = proposed(*interval)
    assert test_plate.totals == totals
    assert test_plate.begins_by_hand is begins_by_hand


@given(
    st.floats(1.0, 1000.0), st.floats(0.0, 6.0), st.floats(0.0, 6.0), st.none() | st.integers(3, 8)
)  # fmt: skip
def test_no_proposed_strip_is_too_quick(middle: float, below: float, above: float, count: int | None) -> None:
    """Each opening takes a hand's shortest time at least; strips lie a third of a stop to two apart."""
    test_plate = proposed(middle / 2**below, middle, middle * 2**above, count)
    assert min(round(pull, 1) for pull in test_plate.pulls) >= SHORTEST
    assert 3 <= len(test_plate.pulls) <= (count or 8)
    for one, other in pairwise(test_plate.totals):
        assert 1 / 3 - 0.15 < math.log2(other / one) < 2 + 0.15


@pytest.mark.parametrize(
    ("stops", "count"), [(0.0, 3), (2.0, 3), (2.1, 5), (4.0, 5), (4.1, 7), (6.0, 7), (9.0, 7)]
)
def test_the_interval_chooses_the_number_of_strips(stops: float, count: int) -> None:
    """The least odd number of strips that are a stop apart at most, seven for all that is wider."""
    assert usual_count(4.0, 4.0 * 2**stops) == count
    assert len(proposed(4.0, 4.0 * 2 ** (stops / 2), 4.0 * 2**stops).totals) == count


@pytest.mark.parametrize(
    ("seconds", "stops"),
    [(0.99, "1.5 stops"), (0.5, "2 stops"), (0.16, "4 stops"), (0.01, "8 stops")],
)
def test_a_time_too_short_for_a_hand_says_what_helps(seconds: float, stops: str) -> None:
    """Below a second: stop down so far that the time is 2 s at least, and no test plate around it."""
    assert too_short(seconds) == f"too short by hand: stop down {stops}, or take a filter"
    with pytest.raises(QuantityError, match=f"^{seconds:g} s is too short by hand: stop down {stops}"):
        proposed(seconds / 2, seconds, 20.0)


def test_a_time_that_a_hand_opens_for_needs_nothing() -> None:
    """A second, as it is told with two figures, is no too short time."""
    assert [too_short(seconds) for seconds in (0.996, 1.0, 60.0)] == [None] * 3


def test_the_least_that_can_be_exposed() -> None:
    """Two strips, and an opening of a tenth of a second, are just possible."""
    assert steps(0.1, 2.0, 2).pulls == pytest.approx((0.1, 0.1))
    assert len(proposed(4.0, 6.0, 9.0, 2).totals) == 2


def test_the_best_strip_of_a_proposed_plate_can_be_judged() -> None:
    """The middle strip of a proposed plate says half a step to either side."""
    low, high = from_best_strip(proposed(2.0, 8.0, 32.0).totals, 3)
    assert (low, high) == (-0.5, 0.5)


@pytest.mark.parametrize(
    ("call", "phrase"),
    [
        (lambda: steps(0, 2, 5), "a first strip of 0 s cannot be"),
        (lambda: steps(math.nan, 2, 5), "a first strip of nan"),
        (lambda: steps(2, 1, 5), "a factor of 1"),
        (lambda: steps(2, math.inf, 5), "a factor of inf"),
        (lambda: steps(2, 2, 1), "1 strips: a test plate has 2 to 20"),
        (lambda: steps(2, 2, 21), "21 strips"),
        (lambda: steps(0.1, 1.05, 5), "an opening takes 0.1 s at least"),
        (lambda: steps(100, 16, 10), "24 h at most"),
        (lambda: steps(7200, 16, 20), "shortest opening is 2:00:00, more than 24 h in all"),
        (lambda: proposed(8, 4, 16), "no interval of times"),
        (lambda: proposed(0, 4, 16), "no interval of times"),
        (lambda: proposed(1, 4, math.inf), "no interval of times"),
        (lambda: proposed(1, 4, 16, 1), "1 strips"),
    ],
)
def test_what_cannot_be_exposed_is_refused(call, phrase: str) -> None:
    """A test plate that no hand can make is one clear sentence."""
    with pytest.raises(QuantityError) as caught:
        call()
    assert phrase in str(caught.value)
