"""The good plate that is most like the one that failed."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.history import BottleThen
from darkroom.faults.nearest_good import is_good, nearest_good, unlike
from tests.kit.fault_plates import at_celsius, blank, plate, with_bottles

FOG = "general fog"


def test_what_counts_as_good() -> None:
    """No fault marked and not poor, or four stars and none of the faults asked about."""
    assert is_good(plate(1, stars=None), (FOG,))
    assert is_good(plate(1, stars=3), (FOG,))
    assert not is_good(plate(1, stars=2), (FOG,))
    assert is_good(plate(1, "streaks", stars=4), (FOG,))
    assert not is_good(plate(1, "streaks", stars=3), (FOG,))
    assert not is_good(plate(1, "streaks", stars=None), (FOG,))
    assert not is_good(plate(1, FOG, stars=5), (FOG,))
    assert not is_good(plate(1, judged=False), (FOG,))


@pytest.mark.parametrize(
    "changes",
    [
        {"exposed": 32.0},
        at_celsius(27.0),
        {"humidity": 90.0},
        {"bottles": with_bottles(developer=BottleThen(name="D-9", id="d9"))},
        {"holder": "another"},
        {"camera": "another"},
    ],
)
def test_what_differs_makes_another_plate_nearer(changes: dict[str, Any]) -> None:
    """Of two good plates the one that has not this difference is taken, though it is farther in time."""
    asked = plate(10, FOG)
    assert nearest_good(asked, [plate(7), plate(9, **changes), asked], (FOG,)) == "plate 7"
    assert nearest_good(asked, [plate(9), plate(11, **changes), asked], (FOG,)) == "plate 9"


def test_other_processes_are_not_compared_and_there_may_be_none() -> None:
    """A good plate of another process says nothing of this one; without any there is no answer."""
    asked = plate(3, FOG)
    history = [plate(1, process="black glass"), plate(2, "streaks", stars=1), asked]
    assert nearest_good(asked, history, (FOG,)) is None


def test_a_later_plate_may_be_the_nearest() -> None:
    """The good plate right after the change differs in little else."""
    asked = plate(34, FOG)
    history = [plate(1), asked, plate(35)]
    assert nearest_good(asked, history, (FOG,)) == "plate 35"


def test_a_plate_that_tells_nothing_is_not_the_nearest() -> None:
    """What only one of two plates tells counts as a difference."""
    asked = plate(10, FOG)
    assert nearest_good(asked, [plate(1), blank(9), asked], (FOG,)) == "plate 1"


def test_a_plate_without_any_fault_comes_before_one_with_another() -> None:
    """Pinholes on a good plate count as much as one plain difference."""
    asked = plate(10, FOG)
    pinholes = plate(9, "pinholes", stars=4)
    assert nearest_good(asked, [plate(7), pinholes, asked], (FOG,)) == "plate 7"
    assert nearest_good(asked, [plate(7, exposed=32.0), pinholes, asked], (FOG,)) == "plate 9"


def test_of_two_that_are_as_like_the_earlier_is_taken() -> None:
    """The answer does not depend on chance: as near in time, the plate before."""
    asked = plate(5, FOG)
    assert nearest_good(asked, [plate(4), asked, plate(6)], (FOG,)) == "plate 4"


@given(st.permutations(range(12)))
def test_the_order_in_which_plates_are_given_does_not_matter(order: list[int]) -> None:
    """The same plates give the same nearest one."""
    asked = plate(5, FOG)
    plates = [plate(number, **at_celsius(20.0 + number % 3)) for number in range(12) if number != 5]
    given_plates = [plates[at] for at in order if at < len(plates)]
    assert nearest_good(asked, given_plates, (FOG,)) == nearest_good(asked, plates, (FOG,))


def test_how_unlike_two_plates_are_worked_out_by_hand() -> None:
    """A stop, 5 °C, 20 %, another bottle count 1 each, a holder half, 14 days 1; 10 °C count 2."""
    one = plate(1)
    other = plate(
        8,
        exposed=4.0,
        temperatures={"room": 25.0, "bath": 9.0, "developer": 20.0},
        humidity=35.0,
        bottles=with_bottles(developer=BottleThen(name="D-9", id="d9")),
        holder="another",
    )
    assert unlike(one, other) == pytest.approx(1 + 1 + 2 + 1 + 1 + 0.5 + 0.5)
    assert unlike(other, one) == pytest.approx(unlike(one, other))


def test_what_one_plate_alone_tells_counts_half() -> None:
    """A temperature, a humidity, an exposure or a bottle that only one of two plates has."""
    one = plate(1)
    silent = plate(1, exposed=None, humidity=None, temperatures={"room": 20.0, "bath": 19.0}, bottles={})
    assert unlike(one, silent) == unlike(silent, one) == pytest.approx(0.5 * (3 + len(one.bottles)))
    assert unlike(silent, silent) == 0.0


def test_a_plate_is_like_itself() -> None:
    """No difference is 0, and one thing alone counts no more than the most."""
    assert unlike(plate(1), plate(1)) == 0.0
    assert unlike(plate(1), plate(1, exposed=8e9)) == 4.0
