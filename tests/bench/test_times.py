"""The times that follow from a plate's state, at their exact boundaries."""

from __future__ import annotations

from typing import Any

import pytest

from darkroom.bench import clocks, exposure
from darkroom.bench import intents as want
from darkroom.process.model import ExposurePlan
from tests.kit.bench import PROCESS, Hand


@pytest.mark.parametrize(
    ("more", "needed"),
    [
        ({}, 40.0),
        ({"plan": ExposurePlan(seconds=8.0)}, 48.0),
        ({"plan": ExposurePlan(seconds=8.0), "carry": 60.0}, 108.0),
        ({"plan": ExposurePlan(seconds=8.0), "timed": "away"}, 108.0),
        ({"plan": ExposurePlan(steps=(2.0, 3.0), between=4.0)}, 49.0),
        ({"plan": ExposurePlan(pops=3, recycle=5.0)}, 51.0),
    ],
)
def test_the_wet_time_needed_is_all_that_lies_between_bath_and_developer(
    more: dict[str, Any], needed: float
) -> None:
    """30 s to drain at most, both lead-ins of 5 s, the exposure with its pauses, and the way back."""
    hand = Hand(**more)
    hand.to_stage("coat")
    assert clocks.wet_needed(hand.plate) == needed


def test_without_a_wet_window_no_wet_time_is_needed() -> None:
    """A process whose plate may dry needs no wet time."""
    hand = Hand(process={key: value for key, value in PROCESS.items() if key != "wet_window"})
    hand.to_stage("coat")
    assert clocks.wet_needed(hand.plate) is None


@pytest.mark.parametrize(
    ("elapsed", "opened"),
    [(1.0, 1.0), (2.0, 2.0), (4.0, 2.0), (6.0, 2.0), (7.0, 3.0), (9.0, 5.0), (12.0, 5.0)],
)
def test_the_lens_is_not_open_in_the_timed_pauses_of_an_exposure(elapsed: float, opened: float) -> None:
    """Two steps of 2 and 3 s with 4 s between: the cap is on from the 2nd to the 6th second."""
    hand = Hand(plan=ExposurePlan(steps=(2.0, 3.0), between=4.0))
    begun = hand.to_stage("expose")
    assert exposure.exposed(hand.plate, begun + elapsed) == opened
    assert clocks.automatic_zero(hand.plate) == begun + 9.0


def test_the_steps_of_a_plan_sound_when_the_cap_moves() -> None:
    """A step ends and the next begins after its pause; flashes repeat."""
    assert exposure.step_instants(ExposurePlan(steps=(2.0, 3.0), between=4.0), 10.0) == (12.0, 16.0)
    assert exposure.step_instants(ExposurePlan(steps=(2.0, 3.0), between="run_on"), 10.0) == (12.0,)
    assert exposure.step_instants(ExposurePlan(steps=(2.0, 3.0), between="strike"), 10.0) == ()
    assert exposure.step_instants(ExposurePlan(pops=3, recycle=5.0), 10.0) == (10.0, 15.0, 20.0)


def test_the_clearing_time_runs_from_the_start_of_the_stage() -> None:
    """A plate that cleared 45 s after it went into the fixer keeps 45 s as its clearing time."""
    hand = Hand()
    begun = hand.to_stage("fix")
    hand.go(begun + 45.0, begun + 90.0)
    assert (hand.plate.done[-1].stage, hand.plate.done[-1].cleared) == ("fix", 45.0)


@pytest.mark.parametrize("ends", ["by_eye", "on_time", "at_zero", "cleared"])
def test_no_strike_ends_a_stage_before_its_least_time(ends: str) -> None:
    """Whatever ends the stage, a strike before `at_least` is refused; from then on one is taken, or asked.

    A plate that clears sooner has cleared: only the end of that stage waits for `at_least`.
    """
    timed = {"time": 60.0} if ends in ("on_time", "at_zero") else {"time": None}
    stages = [
        {**stage, **timed, "ends": ends, "at_least": 20.0, "clearing_factor": None}
        if stage["name"] == "stop"
        else stage
        for stage in PROCESS["stages"]
    ]
    hand = Hand(process={**PROCESS, "stages": stages})
    begun = hand.to_stage("stop")
    if ends == "cleared":
        assert hand.go(begun + 5.0).refusal is None
    assert hand.go(begun + 19.5).refusal == "stop: 0:01 more"
    assert hand.go(begun + 20.0).refusal == ("0:40 short: again to fix" if ends == "on_time" else None)


@pytest.mark.parametrize(
    ("left", "back", "held"), [(15.0, 20.0, True), (15.0, 19.9, False), (20.0, 25.0, False)]
)
def test_a_zero_is_held_from_just_after_leaving_to_the_instant_of_coming_back(
    left: float, back: float, held: bool
) -> None:
    """The stop's zero lies 20 s after its start: held when the machine slept over it."""
    for intent in (want.ClockDid("slept", back - left), want.CameBack("p1", back - left, "up", "boot")):
        hand = Hand()
        begun = hand.to_stage("stop")
        hand.do(begun + back, intent)
        assert hand.plate.held == held
