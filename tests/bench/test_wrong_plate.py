"""Strikes and answers at the edge of a change: none of them reaches a plate it was not meant for."""

from __future__ import annotations

from darkroom.bench import clocks, large_place
from darkroom.bench import intents as want
from tests.kit.bench import CYANIDE, Hand, changed, kinds


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


def insist(hand: Hand, *ups: float) -> None:
    """Strike at each instant, and once more where that is asked about."""
    for up in ups:
        if hand.go(up).refusal is not None:
            assert hand.go(up + 1.5).refusal is None


def test_the_developer_is_not_held_back_by_a_plate_that_waits() -> None:
    """Plate 1 stands ready for its developer and was chosen by hand: the first strike begins its lead-in."""
    hand = Hand()
    hand.to_stage("exposed")
    hand.new(271.0)
    insist(hand, 272.0, 282.0, 492.0, 500.0, 505.0)
    assert (hand.plate.plate, hand.plate.phase) == ("p2", "lead_in")
    hand.do(507.0, want.Look(-1))
    assert hand.bench.large == "p1" and large_place.waits_behind(hand.bench, 508.0) is not None
    assert kinds(hand.go(508.0)) == ["LeadInStarted"]


def test_what_is_refused_is_not_asked_about() -> None:
    """The rinse before cyanide lacks its least time: that is said, not that plate 2 waits."""
    hand = Hand(process=CYANIDE)
    hand.to_stage("stop")
    hand.zero(310.0)
    hand.new(315.0)
    insist(hand, 316.0)
    hand.do(318.0, want.Look(-1))
    assert hand.bench.large == "p1" and large_place.waits_behind(hand.bench, 319.0) is not None
    assert hand.go(319.0).refusal == "rinse: 0:21 more"


def test_a_held_plate_chosen_by_hand_ends_its_stage_unasked() -> None:
    """Nobody saw its zero: the strike ends the stage, though plate 2 waits."""
    hand = Hand()
    hand.to_stage("stop")
    hand.do(400.0, want.ClockDid("slept", 100.0))
    hand.new(401.0)
    insist(hand, 402.0)
    hand.do(404.0, want.Look(-1))
    assert hand.bench.large == "p1" and hand.plate.held
    assert large_place.waits_behind(hand.bench, 405.0) is not None
    assert hand.go(405.0).refusal is None and hand.plate.stage.name == "fix"


def test_a_plate_that_asks_keeps_the_large_place_for_its_answer() -> None:
    """Plate 2's bath comes within ten seconds of its call while plate 1 asks: the yes is plate 1's."""
    hand = Hand(process=changed("fix", expect=[60.0, 120.0]))
    hand.new(0.0)
    hand.to_stage("fix")
    hand.new(311.0)
    insist(hand, 312.0, 330.0)
    hand.do(334.0, want.Look(-1))
    insist(hand, 500.0)
    assert (hand.bench.large, hand.plate.cleared_at is not None) == ("p1", True)
    asked = hand.go(526.0)
    assert asked.refusal is not None and asked.refusal.endswith("short: again to wash")
    call = clocks.zero(hand.bench.plates["p2"])
    assert call is not None and 528.0 < call - large_place.BEFORE_CALL < 533.0
    assert settled(hand, call - 9.0) == "p1"
    assert hand.go(call - 9.0).refusal is None
    assert hand.bench.plates["p1"].stage.name == "wash" and hand.bench.plates["p2"].stage.name == "sensitise"
    assert settled(hand, call - 6.0) == "p2"
