"""How often the proposed 80 % interval holds what the next plate needs, in invented seasons."""

from __future__ import annotations

import pytest

from tests.kit.invented_seasons import covered

SEASONS = 400


@pytest.mark.parametrize("plates", [1, 3, 10])
def test_the_interval_holds_four_plates_of_five(plates: int) -> None:
    """In 400 seasons of the family that learning believes in, 74 to 86 % of intervals hold the plate."""
    held, _ = covered(plates, SEASONS)
    assert 0.74 <= held <= 0.86


def test_the_interval_beats_the_last_plate_give_or_take_a_stop() -> None:
    """After ten plates the interval holds the next one more often than the last plate ± 1 stop does."""
    held, last = covered(10, SEASONS)
    assert held > last + 0.05


def test_a_world_of_another_make_is_still_held_mostly() -> None:
    """With heavy tails, kinked ageing and more slips, intervals from ten plates hold 70 to 88 %."""
    held, _ = covered(10, SEASONS, wrong=True)
    assert 0.70 <= held <= 0.88
