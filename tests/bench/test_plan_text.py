"""An exposure plan is told in one wording on the screen and in the log."""

from __future__ import annotations

import pytest

from darkroom.bench.exposure import plan_text
from darkroom.process.model import ExposurePlan


@pytest.mark.parametrize(
    ("plan", "text"),
    [
        (None, None),
        (ExposurePlan(seconds=2.5), "2.5 s"),
        (ExposurePlan(seconds=99.0), "99 s"),
        (ExposurePlan(seconds=150.0), "2:30"),
        (ExposurePlan(steps=(2.0, 2.0, 4.0), between="run_on"), "2 + 2 + 4 s"),
        (ExposurePlan(steps=(2.0, 4.0), between="strike"), "2 + 4 s, a press between"),
        (ExposurePlan(steps=(2.0, 4.0), between=3.0), "2 + 4 s, 3 s between"),
        (ExposurePlan(pops=4, recycle=20.0), "4 flashes, 20 s apart"),
    ],
)
def test_a_plan_is_told_whole(plan: ExposurePlan | None, text: str | None) -> None:
    """Steps keep what lies between them, flashes their distance, long times stand as on a clock."""
    assert plan_text(plan) == text
