"""The area of a plate from its size as people type it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.process.text.plate_sizes import MOST, area

INCH2 = 6.4516
"""cm² of a square inch: 2.54 cm by definition."""


@pytest.mark.parametrize(
    ("size", "cm2"),
    [
        ("18 x 24 cm", 432.0),
        ("18 × 24 cm", 432.0),
        ("180 × 240 mm", 432.0),
        ("8x10 in", 80 * INCH2),
        ("10 x 8 in", 80 * INCH2),
        ("6 1/2 x 8 1/2 in", 55.25 * INCH2),
        ("whole plate", 55.25 * INCH2),
        ("Whole-Plate", 55.25 * INCH2),
        ("quarter plate", 13.8125 * INCH2),
        ("1/4 plate", 13.8125 * INCH2),
        ("8x10", 80 * INCH2),
        ("10×8", 80 * INCH2),
        ("18x24", 432.0),
        ("13 x 18", 234.0),
    ],
)
def test_a_size_has_its_area(size: str, cm2: float) -> None:
    """Measured sizes, the old names and the sizes said without a unit (common practice, no source)."""
    found = area(size)
    assert found is not None and math.isclose(found, cm2, rel_tol=1e-12)


@pytest.mark.parametrize(
    "size",
    [
        "",
        "half plate",
        "a plate",
        "8",
        "7x9",
        "8 x 10 miles",
        "small",
        "8 x 10 x 2 in",
        "0 x 10 cm",
        "9 m x 9 m",
    ],
)
def test_what_the_words_leave_open_is_not_known(size: str) -> None:
    """A half plate is another size in America and in Britain; nothing is guessed."""
    assert area(size) is None


@given(st.text(max_size=30))
def test_any_words_have_an_area_or_none(size: str) -> None:
    """Whatever stands in the journal: an area that a plate can have, or none."""
    found = area(size)
    assert found is None or 0 < found <= MOST
