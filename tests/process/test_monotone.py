"""The curve through a table's rows, and the way back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from darkroom.process.monotone import MonotoneCurve, where

ROWS = st.lists(
    st.tuples(st.floats(0.01, 10), st.integers(-1000, 1000)),
    min_size=3,
    max_size=12,
    unique_by=lambda row: row[1],
)


@given(ROWS, st.floats(0, 1))
def test_the_curve_is_that_of_another_library(rows: list[tuple[float, int]], part: float) -> None:
    """Between any rows the curve is scipy's, its ends too."""
    x, at = [], 0.0
    for width, _ in rows:
        at += width
        x.append(at)
    y = [row[1] for row in rows]
    place = x[0] + part * (x[-1] - x[0])
    expected = float(PchipInterpolator(x, y)(place))
    assert expected == pytest.approx(MonotoneCurve(x, y)(place), abs=1e-8)


@given(st.lists(st.floats(0.01, 10), min_size=3, max_size=12), st.floats(0, 1))
def test_a_rising_curve_rises_and_is_inverted(rises: list[float], part: float) -> None:
    """The way back finds the place within 1e-9, and no place between rows lies outside them."""
    y, total = [], 0.0
    for rise in rises:
        total += rise
        y.append(total)
    curve = MonotoneCurve(range(len(y)), y)
    value = y[0] + part * (y[-1] - y[0])
    place = where(curve, value, 0, len(y) - 1)
    assert 0 <= place <= len(y) - 1
    assert value == pytest.approx(curve(place), abs=1e-9)


def test_a_value_beyond_the_curve_gives_its_end() -> None:
    """What no place has is nearest at an end."""
    curve = MonotoneCurve((0, 1, 2), (0, 1, 3))
    assert where(curve, -5, 0, 2) == pytest.approx(0, abs=1e-12)
    assert where(curve, 9, 0, 2) == pytest.approx(2, abs=1e-12)
