"""Strikes and answers at the edge of a change: none of them reaches a plate it was not meant for."""

from __future__ import annotations

from darkroom.bench import intents as want
from darkroom.bench import large_place
from tests.kit.bench import Hand, changed, kinds


def settled(hand: Hand, now: float) -> str | None:
    """Return the large plate after the bench has settled at `now`."""
    hand.bench = large_place.settle(hand.bench, now)
    return hand.bench.large


def test_a_strike_from_before_the_change_moves_neither_plate() -> None:
    """Struck at plate 1, decided when plate 2 has just become large: it is refused, nothing moves."""
    hand = Hand()
    hand.to_stage("wash")
    hand.new(400.0)
    hand.go(410.0, 430.0)
    hand.do(440.0, want.Look(1))
    assert settled(hand, 620.0) == "p1"
    assert settled(hand, 630.03) == "p2"
    struck = hand.go(629.99)
    assert (struck.refusal, kinds(struck)) == ("plate 2 now", ["Refused"])
    assert hand.plate.question is None


def test_a_new_plate_that_became_large_unasked_takes_no_strike_for_a_second() -> None:
    """Plate 1 is racked and the new plate is large: a strike meant for plate 1 begins no journal."""
    hand = Hand()
    begun = hand.to_stage("wash")
    hand.new(begun + 880.0)
    hand.do(begun + 890.0, want.Look(1))
    hand.go(begun + 900.0)
    assert settled(hand, begun + 902.1) == ""
    early = hand.go(begun + 902.4)
    assert (early.refusal, kinds(early)) == ("new plate now", [])
    assert hand.go(begun + 903.2).refusal is None and "p2" in hand.lines


def test_an_undo_answers_no_to_the_question_about_the_new_plate() -> None:
    """The wet plate gets the place back, and the next strike of the new plate would ask anew."""
    hand = Hand()
    hand.to_stage("ready")
    hand.new(300.0)
    assert hand.go(303.0).refusal is not None
    assert hand.do(304.5, want.Undo()).refusal is None
    assert hand.plate.question is None and "p2" not in hand.lines
    assert settled(hand, 307.0) == "p1"


def test_yes_to_the_plate_chosen_by_hand_notes_its_change_of_water() -> None:
    """After the answer the strike does what it does without a question: the change is noted, unasked."""
    wash = {"start": 200.0, "limit": 0.2, "lag": 120.0, "carried": 5.0, "change": 200.0}
    hand = Hand(process=changed("wash", time=None, wash=wash))
    begun = hand.to_stage("wash")
    hand.new(begun + 5.0)
    hand.go(begun + 10.0, begun + 30.0)
    settled(hand, begun + 239.0)
    hand.do(begun + 240.5, want.Look(1))
    assert hand.go(begun + 241.5).refusal == "plate 1, though plate 2 waits? Again for plate 1"
    assert kinds(hand.go(begun + 243.0)) == ["Acknowledged"]


def test_a_plate_given_up_while_it_asked_is_taken_back_by_the_first_undo() -> None:
    """The question ends with the plate: the undo takes the end back and answers nothing."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    hand.go(begun + 20.0)
    hand.do(begun + 22.0, want.Abandon("fogged"))
    assert kinds(hand.do(begun + 24.0, want.Undo())) == ["Undone"]
    assert (hand.plate.stage.name, hand.plate.phase) == ("sensitise", "running")
