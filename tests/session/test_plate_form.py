"""What is typed into the form of a new plate is read as a photographer writes it."""

from __future__ import annotations

import pytest

from darkroom.process.model import ExposurePlan
from darkroom.session.plate_form import exposure_plan


@pytest.mark.parametrize("typed", ["2,2,4 press", "2s+2s+4s press", "2, 2, 4 Press", "2,2,4 strike"])
def test_steps_wait_for_a_press(typed: str) -> None:
    """With "press" after the steps each waits for a press; "strike", as the log has it, means the same."""
    assert exposure_plan(typed) == ExposurePlan(steps=(2.0, 2.0, 4.0), between="strike")


@pytest.mark.parametrize("typed", ["2,2,4", "2,2,4 run on", "2,2,4 run_on"])
def test_steps_run_on(typed: str) -> None:
    """Without a word the steps follow each other by themselves."""
    assert exposure_plan(typed) == ExposurePlan(steps=(2.0, 2.0, 4.0), between="run_on")
