"""What answers an intent in words, and what is said of plates that came back."""

from __future__ import annotations

from typing import Any

from darkroom.bench import intents as want
from darkroom.bench.intents import Intent
from darkroom.process.model import ExposurePlan
from darkroom.session.feedback import UNSEEN, came_back, spoken
from tests.kit.bench import PROCESS, Hand


def answered(hand: Hand, now: float, intent: Intent) -> str:
    """Do it and return what answers it on the screen."""
    decision = hand.do(now, intent)
    assert decision.refusal is None
    text, said = spoken(intent, hand.plate, decision, now)
    assert said
    return text


def go(hand: Hand) -> want.Go:
    """Return the strike of the plate put on last."""
    return want.Go(plate=f"p{hand.count}", number=hand.count)


def test_a_question_answered_no_is_no_step_taken_back() -> None:
    """The undo that answers a question says that the stage goes on."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    hand.go(begun + 5.0)
    assert answered(hand, begun + 7.0, want.Undo()) == "plate 1: answered no: it goes on"
    assert answered(hand, begun + 20.0, want.Undo()) == "plate 1: taken back, coat again"


def test_a_plate_given_up_is_not_called_finished() -> None:
    """What is abandoned is given up."""
    hand = Hand()
    hand.to_stage("wash")
    assert answered(hand, 400.0, want.Abandon("fogged")) == "plate 1: given up"


def test_a_change_of_the_water_is_answered_with_its_count() -> None:
    """The strike after a call to change says which change it was, of how many."""
    wash: dict[str, Any] = {"start": 200.0, "limit": 0.2, "lag": 120.0, "carried": 5.0, "change": 200.0}
    stages = [
        {**stage, "time": None, "wash": wash} if stage["name"] == "wash" else stage
        for stage in PROCESS["stages"]
    ]
    hand = Hand(process={**PROCESS, "stages": stages})
    begun = hand.to_stage("wash")
    assert answered(hand, begun + 243.0, go(hand)) == "plate 1: change 3 of 8 noted"


def test_an_exposure_that_nobody_saw_end_asks_how_long_it_was() -> None:
    """The strike after a sleep says that the end was not seen; the told time is noted."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.do(330.0, want.ClockDid("slept", 60.0))
    assert answered(hand, 331.0, go(hand)) == f"plate 1: {UNSEEN}"
    assert answered(hand, 340.0, want.TellOpen(12.0)) == "plate 1: noted, open for 12 s"


def test_plates_that_came_back_are_counted_and_wet_ones_named() -> None:
    """Nothing is said of a plate that has not begun."""
    hand = Hand()
    assert came_back(hand.bench) is None
    hand.to_stage("wash")
    assert came_back(hand.bench) == "1 plate came back"
    hand.new(400.0)
    assert came_back(hand.bench) == "1 plate came back"
    hand.go(410.0, 430.0, 640.0)
    assert came_back(hand.bench) == "2 plates came back, plate 2 is wet"
