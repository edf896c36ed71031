"""A fixer's clearing times against those of the fresh fixer."""

from __future__ import annotations

import pytest

from darkroom.solutions.clearing import Fresh, fresh, last_ratio, ratio, remark
from darkroom.solutions.uses import Use


def fixed(number: int, cleared: float | None, celsius: float | None = 20.0) -> Use:
    """Return a plate in the fixer."""
    return Use(
        plate=f"p{number:02}",
        number=number,
        bottle="f1",
        role="fixer",
        stage="fix",
        instant=float(number),
        cleared=cleared,
        celsius=celsius,
    )


def test_fresh_is_the_median_of_the_first_plates() -> None:
    """One press that came late does not stand for the fresh fixer; later plates do not count."""
    plates = [fixed(4, 90.0), fixed(2, 75.0), fixed(1, 40.0), fixed(3, 42.0)]
    assert fresh(plates) == Fresh(seconds=42.0, plates=3)
    assert fresh([]) is None
    assert fresh([fixed(1, None)]) is None


def test_only_a_like_temperature_is_held_against_it() -> None:
    """A fixer in a cold room is not exhausted because it clears slowly."""
    plates = [fixed(1, 40.0), fixed(2, 40.0), fixed(3, 40.0), fixed(4, 80.0, 12.0), fixed(5, 80.0, 21.0)]
    assert ratio(plates[3], plates) is None
    assert ratio(plates[4], plates) == 2.0
    assert ratio(fixed(6, 60.0, None), plates) == 1.5


def test_a_first_plate_has_no_ratio() -> None:
    """What fresh means is not held against itself."""
    plates = [fixed(1, 40.0), fixed(2, 90.0)]
    assert [ratio(plate, plates) for plate in plates] == [None, None]
    assert last_ratio(plates) is None


def test_the_last_plate_with_a_ratio_counts() -> None:
    """A plate whose clearing nobody marked says nothing about the fixer."""
    plates = [fixed(1, 40.0), fixed(2, 40.0), fixed(3, 40.0), fixed(4, 80.0), fixed(5, None)]
    found = last_ratio(plates)
    assert found is not None and (found[0].number, found[1]) == (4, 2.0)


@pytest.mark.parametrize(
    ("cleared", "text"),
    [
        (80.0, "clears in 1:20, fresh 0:40: exhausted"),
        (79.0, "clears in 1:19, fresh 0:40: slower"),
        (60.0, "clears in 1:00, fresh 0:40: slower"),
        (59.0, None),
        (20.0, None),
    ],
)
def test_what_is_said_of_a_clearing_time(cleared: float, text: str | None) -> None:
    """Twice the fresh fixer's time is exhausted (common practice, no source); an ordinary one is no news."""
    assert remark(cleared, Fresh(seconds=40.0, plates=3)) == text
