"""Test plates: openings and totals."""

from __future__ import annotations

import math
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import QuantityError
from darkroom.exposure.judgements import from_best_strip
from darkroom.exposure.steps import proposed, steps


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
    test_plate = proposed(1.234, 5.678, 26.1, 5)
    assert all(float(f"{total:.2g}") == pytest.approx(total) for total in test_plate.totals)
    exact = [5.678 * test_plate.factor**step for step in range(-2, 3)]
    for total, wanted in zip(test_plate.totals, exact, strict=True):
        assert abs(math.log2(total / wanted)) < 0.1


def test_a_narrow_interval_still_has_strips_that_can_be_told_apart() -> None:
    """Where nothing is in doubt the strips lie a little apart, and their openings are no nothing."""
    test_plate = proposed(8.0, 8.0, 8.0, 3)
    assert test_plate.totals[0] < 8.0 == test_plate.totals[1] < test_plate.totals[2]


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
