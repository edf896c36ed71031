"""How confirmed causes move what is usual."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.confirmed import moved, with_confirmed
from tests.kit.small_faults import catalogue, cause, fault

FOG = catalogue(
    [cause("warm", 0.06), cause("light", 0.04)], [fault("fog", 0.01, {"warm": 0.4, "light": 0.7})]
)


@pytest.mark.parametrize(
    ("usual", "confirmed", "plates", "expected"),
    [
        (0.06, 0, 0, 0.06),
        (0.06, 3, 3, (1.8 + 3) / 33),
        (0.06, 0, 10, 1.8 / 40),
        (0.06, 5, 20, 6.8 / 50),
        (0.3, 30, 30, 0.3),
        (0.005, 0, 200, 0.005),
    ],
)
def test_usual_is_moved_by_the_written_rule(
    usual: float, confirmed: int, plates: int, expected: float
) -> None:
    """It is (usual*30 + confirmed as this)/(30 + plates with any confirmed cause), kept in 0.005 to 0.3."""
    assert moved(usual, confirmed, plates) == pytest.approx(expected)


@given(st.floats(0.005, 0.3), st.integers(0, 500), st.integers(0, 500))
def test_no_count_leaves_the_bounds_and_each_confirmation_speaks_for_its_cause(
    usual: float, confirmed: int, others: int
) -> None:
    """Whatever was confirmed, usual stays within its bounds, and one more plate never lowers it."""
    share = moved(usual, confirmed, confirmed + others)
    assert 0.005 <= share <= 0.3
    assert moved(usual, confirmed + 1, confirmed + others + 1) >= share


def test_the_catalogue_is_moved_cause_by_cause() -> None:
    """Three plates confirmed as one cause and one as a cause of another catalogue count as four plates."""
    shifted = with_confirmed(FOG, {"warm": 3, "gone": 1})
    assert shifted.causes["warm"].usual == pytest.approx(4.8 / 34)
    assert shifted.causes["light"].usual == pytest.approx(1.2 / 34)
    assert FOG.causes["warm"].usual == 0.06
    assert shifted.faults == FOG.faults


def test_plates_with_two_confirmed_causes_count_once_where_that_is_known() -> None:
    """Two causes of the same three plates: the plates are three, not six."""
    assert with_confirmed(FOG, {"warm": 3, "light": 3}, 3).causes["warm"].usual == pytest.approx(4.8 / 33)
    assert with_confirmed(FOG, {}) is FOG
