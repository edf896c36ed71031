"""A line by least squares against the standard library and a worked example."""

from __future__ import annotations

import statistics

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from darkroom.log.trends.least_squares import slope

NUMBERS = st.integers(-1000, 1000).map(lambda number: number / 8)


@given(st.lists(st.tuples(NUMBERS, NUMBERS), min_size=2, max_size=40))
def test_a_slope_is_that_of_the_standard_library(points: list[tuple[float, float]]) -> None:
    """It is `statistics.linear_regression`'s, to the last digits that two ways to add up share."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    assume(len(set(xs)) > 1)
    expected = statistics.linear_regression(xs, ys).slope
    assert slope(xs, ys) == pytest.approx(expected, rel=1e-12, abs=1e-12)


def test_a_worked_example() -> None:
    """Points (1, 1) to (5, 5) with y 1, 2, 1.3, 3.75, 2.25: slope 0.425 (a textbook example, from memory)."""
    assert slope([1, 2, 3, 4, 5], [1, 2, 1.3, 3.75, 2.25]) == pytest.approx(0.425, abs=1e-12)


def test_points_above_each_other_have_no_slope() -> None:
    """Where x never changes there is no line."""
    with pytest.raises(statistics.StatisticsError, match="constant"):
        slope([2.0, 2.0], [1.0, 3.0])
