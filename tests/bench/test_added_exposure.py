"""A further opening of the lens: what was given before it stays known, or stays unknown."""

from __future__ import annotations

import pytest

from darkroom.bench import clocks, instruction, refusals
from darkroom.bench import intents as want
from darkroom.process.model import ExposurePlan
from tests.kit.bench import Hand, kinds


def exposed(plan: ExposurePlan | None = None) -> Hand:
    """Return a plate that was exposed to the end of its plan, 8 s by default, at 275."""
    hand = Hand(plan=plan or ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.zero(275.0)
    return hand


def away() -> Hand:
    """Return a plate exposed 8 s out of reach of the keys, told at 380, with 5 s being added from 385."""
    hand = Hand(timed="away", plan=ExposurePlan(seconds=8.0))
    hand.to_stage("drain")
    hand.go(260.0, 380.0)
    hand.do(385.0, want.AddExposure(5.0))
    return hand


def test_what_was_told_counts_with_what_is_added() -> None:
    """8 s told and 5 s added are 13 s, planned and given."""
    hand = away()
    hand.zero(390.0)
    hand.zero(395.0)
    ended = hand.lines["p1"][-1]
    assert (ended.planned, ended.exposed, ended.unseen) == (13.0, 13.0, None)
    assert hand.replayed() == hand.plate


@pytest.mark.parametrize("told", [None, 12.0])
def test_added_to_an_exposure_nobody_saw_end_the_whole_is_known_only_once_that_is_told(
    told: float | None,
) -> None:
    """After a sleep over the end nothing is claimed; told 12 s before 5 s are added, it is 17 s."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.do(330.0, want.ClockDid("slept", 60.0))
    hand.go(331.0)
    if told is not None:
        hand.do(331.5, want.TellOpen(told))
    hand.do(332.0, want.AddExposure(5.0))
    hand.zero(337.0)
    hand.zero(342.0)
    done = hand.plate.done[-1]
    assert (done.exposed, done.unseen) == ((None, True) if told is None else (17.0, False))
    assert (hand.do(350.0, want.TellOpen(60.0)).refusal is None) == (told is None)
    assert hand.replayed() == hand.plate


def test_an_addition_to_steps_that_ended_in_a_pause_counts_the_open_lens_only() -> None:
    """Ended 3 s into 2 s steps 10 s apart: 2 s given, 10 s added, 12 s in all."""
    hand = Hand(plan=ExposurePlan(steps=(2.0, 2.0, 2.0), between=10.0))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.go(270.0)
    hand.do(275.0, want.AddExposure(10.0))
    hand.zero(280.0)
    hand.zero(290.0)
    assert hand.plate.done[-1].exposed == pytest.approx(12.0)


def test_an_addition_to_struck_steps_is_planned_with_them() -> None:
    """Steps of 2 and 4 s and 5 s more are 11 s."""
    hand = Hand(plan=ExposurePlan(steps=(2.0, 4.0), between="strike"))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.go(270.0)
    hand.zero(274.0)
    hand.do(275.0, want.AddExposure(5.0))
    hand.zero(280.0)
    assert clocks.planned(hand.plate) == 11.0


def test_leaving_out_an_added_opening_never_loses_what_was_given() -> None:
    """The stage is exposed: it is not left out, an undo takes the addition back."""
    hand = exposed()
    given = hand.plate.done
    hand.do(280.0, want.AddExposure(5.0))
    assert hand.do(282.0, want.Skip()).refusal == "exposure done: it is never left out"
    assert hand.do(283.0, want.Undo()).refusal is None
    assert (hand.plate.done, hand.plate.stage.name) == (given, "develop")


def test_the_plan_of_an_exposure_that_is_made_is_not_set_before_an_addition() -> None:
    """The plate stands ready for the addition: a third of a stop more would change what is past."""
    hand = exposed()
    hand.do(280.0, want.AddExposure(5.0))
    hand.do(340.0, want.ClockDid("slept", 58.0))
    assert hand.plate.phase == "ready"
    assert hand.do(341.0, want.Nudge(1)).refusal == refusals.EXPOSURE_MADE


def test_ready_for_an_addition_nothing_says_that_a_strike_tells_the_exposure() -> None:
    """Slept over its lead-in: a strike counts it anew, and the sentence says so."""
    hand = away()
    hand.do(440.0, want.ClockDid("slept", 53.0))
    assert hand.plate.phase == "ready"
    assert instruction.sentence(hand.plate, 441.0) == "Press, then uncap at zero."
    assert kinds(hand.go(442.0)) == ["LeadInStarted"]
