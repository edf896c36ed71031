"""What is typed into the form of a new plate is read as a photographer writes it."""

from __future__ import annotations

import pytest

from darkroom.errors import QuantityError
from darkroom.process.model import ExposurePlan
from darkroom.session.plate_form import exposure_plan


@pytest.mark.parametrize("typed", ["2,2,4 press", "2s+2s+4s press", "2, 2, 4 Press", "2,2,4 strike"])
def test_steps_wait_for_a_press(typed: str) -> None:
    """With "press" after the steps each waits for a press; "strike", as the log has it, means the same."""
    assert exposure_plan(typed) == ExposurePlan(steps=(2.0, 2.0, 4.0), between="strike")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("1 1 2 4 8", "1, 1, 2, 4, 8"),
        ("2s 2s 4s press", "2s, 2s, 4s"),
        ("2 1:30 pause 3 s", "2, 1:30"),
        ("2 2, 4", "2, 2"),
    ],
)
def test_times_with_spaces_are_shown_with_commas(typed: str, meant: str) -> None:
    """Times one after another without commas are refused, and shown as they are to be typed."""
    with pytest.raises(QuantityError, match=f"write times one after another with commas: {meant}$"):
        exposure_plan(typed)


@pytest.mark.parametrize("typed", ["3 min 30", "1 1/2", "8 seconds long"])
def test_a_time_of_several_words_is_no_list(typed: str) -> None:
    """What is no row of times is refused as a time."""
    with pytest.raises(QuantityError, match="expected a time"):
        exposure_plan(typed)


@pytest.mark.parametrize("typed", ["2,2,4", "2,2,4 run on", "2,2,4 run_on"])
def test_steps_run_on(typed: str) -> None:
    """Without a word the steps follow each other by themselves."""
    assert exposure_plan(typed) == ExposurePlan(steps=(2.0, 2.0, 4.0), between="run_on")
