"""What the bench says while the lens is open: the words follow the plan as its strips are computed.

The totals of the strips are common practice (each step is added to those before), no source.
"""

from __future__ import annotations

import pytest

from darkroom.bench.view import plate_view
from darkroom.process.model import ExposurePlan
from tests.kit.bench import PROCESS, Hand


def exposing(plan: ExposurePlan | None) -> Hand:
    """Return a bench whose plate has been exposing since 267.0 (struck at 262, a lead-in of 5 s)."""
    hand = Hand(plan=plan)
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    assert hand.plate.stage.name == "expose" and hand.plate.phase == "running"
    return hand


@pytest.mark.parametrize(
    ("plan", "after", "shape", "said"),
    [
        (ExposurePlan(seconds=8.0), 1.0, "down", "Cap on at zero. A press ends it before."),
        (None, 1.0, "up", "Cap on ends it: press as you cap."),
        (
            ExposurePlan(steps=(2.0, 4.0), between="run_on"),
            0.5,
            "down",
            "Step 1 of 2. Cover one more strip in 0:02.",
        ),
        (ExposurePlan(steps=(2.0, 4.0), between="run_on"), 2.5, "down", "Step 2 of 2. Cap on in 0:04."),
        (ExposurePlan(steps=(2.0, 4.0), between=3.0), 0.5, "down", "Step 1 of 2. Cap on in 0:02."),
        (ExposurePlan(steps=(2.0, 4.0), between=3.0), 2.5, "pause", "Cap on. Step 2 of 2 uncaps in 0:03."),
        (ExposurePlan(steps=(2.0, 4.0), between=3.0), 5.5, "down", "Step 2 of 2. Cap on in 0:04."),
        (ExposurePlan(steps=(2.0, 4.0), between="strike"), 0.5, "down", "Step 1 of 2. Cap on at zero."),
        (ExposurePlan(steps=(2.0, 4.0), between="strike"), 2.5, "pause", "Cap on. Press for the next step."),
        (ExposurePlan(pops=3, recycle=10.0), 1.0, "down", "Flash 2 of 3 in 0:09."),
        (ExposurePlan(pops=3, recycle=10.0), 11.0, "down", "Flash 3 of 3 in 0:09."),
    ],
)
def test_the_words_follow_the_plan(plan: ExposurePlan | None, after: float, shape: str, said: str) -> None:
    """At each instant of a plan the screen tells which step it is, and what the cap does next."""
    view = plate_view(exposing(plan).plate, 267.0 + after)
    assert (shape, said) == (view.shape, view.do)


@pytest.mark.parametrize(
    ("plan", "after", "left", "progress"),
    [
        (ExposurePlan(steps=(2.0, 4.0), between="run_on"), 0.5, 1.5, 0.5 / 6.0),
        (ExposurePlan(steps=(2.0, 4.0), between="run_on"), 2.0, 4.0, 2.0 / 6.0),
        (ExposurePlan(steps=(2.0, 4.0), between="run_on"), 5.0, 1.0, 5.0 / 6.0),
        (ExposurePlan(steps=(2.0, 4.0), between=3.0), 0.5, 1.5, 0.5 / 9.0),
        (ExposurePlan(steps=(2.0, 4.0), between="strike"), 0.5, 1.5, 0.25),
        (ExposurePlan(seconds=8.0), 2.0, 6.0, 0.25),
    ],
)
def test_the_large_time_is_that_to_the_next_thing_the_hand_does(
    plan: ExposurePlan, after: float, left: float, progress: float
) -> None:
    """The large time counts to the end of each step, the line how far all is."""
    large = plate_view(exposing(plan).plate, 267.0 + after).large_time
    assert (large.shape, large.seconds) == ("down", pytest.approx(left))
    assert large.fraction == pytest.approx(progress)


def test_how_to_uncap_is_told_before_the_lens_opens() -> None:
    """The hint of the exposure stands with the ready plate, where it can still be followed."""
    process = {
        **PROCESS,
        "stages": [
            {**stage, "hint": "Uncap at the call."} if stage["name"] == "expose" else stage
            for stage in PROCESS["stages"]
        ],
    }
    hand = Hand(plan=ExposurePlan(seconds=8.0), process=process)
    hand.to_stage("ready")
    assert plate_view(hand.plate, 261.0).do == "Uncap at the call."
