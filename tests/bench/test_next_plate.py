"""More, right or less: when it can be said, what it writes, what it proposes; nothing is taken unasked."""

from __future__ import annotations

import pytest

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench import refusals
from darkroom.bench.decide_all import why_not
from darkroom.bench.next_plate import (
    best_strip,
    got,
    has_cleared,
    judged_stops,
    next_stops,
    proposal,
    proposal_text,
    proposed_seconds,
    stops_text,
    strips_got,
)
from darkroom.process.model import ExposurePlan
from tests.kit.bench import PROCESS, Hand


def fixing() -> tuple[Hand, float]:
    """Return a hand with a plate in the fixer, planned for 8 s and capped at 7 s, and the instant."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    return hand, hand.to_stage("fix")


def test_it_is_said_from_clearing_on() -> None:
    """Before the plate has cleared it is refused; from then on it is taken, in every later stage."""
    hand, now = fixing()
    assert not has_cleared(hand.plate)
    assert why_not(hand.bench, want.JudgeExposure("more"), now) == refusals.NOT_CLEARED
    hand.go(now + 40.0)
    assert has_cleared(hand.plate)
    assert why_not(hand.bench, want.JudgeExposure("more"), now + 41.0) is None
    hand.go(now + 85.0)
    assert hand.plate.stage.name == "wash" and has_cleared(hand.plate)


def test_more_writes_one_rating_and_changes_nothing_else() -> None:
    """The word is a `rating` line of the plate; its stage, its clock and its plan stay as they were."""
    hand, now = fixing()
    hand.go(now + 40.0)
    before = hand.plate
    decision = hand.do(now + 41.0, want.JudgeExposure("more"))
    ((_, (line,)),) = decision.events
    assert isinstance(line, ev.Rating) and (line.exposure_word, line.exposure_stops) == ("more", None)
    after = hand.plate
    assert (after.stage, after.since, after.plan, after.cleared_at) == (
        before.stage, before.since, before.plan, before.cleared_at,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("word", "seconds", "text"),
    [("more", 9.9, "9.9 s, half a stop more"), ("right", 7.0, "7 s, as it was"),
     ("less", 4.9, "4.9 s, half a stop less")],
)  # fmt: skip
def test_a_word_proposes_half_a_stop(word: ev.ExposureWord, seconds: float, text: str) -> None:
    """Of the 7 s that the plate got, 7 × √2 and 7 / √2 s, to two figures; the last word counts."""
    hand, now = fixing()
    hand.go(now + 40.0)
    assert proposal(hand.bench.plates.values()) is None
    assert why_not(hand.bench, want.TakeProposed(), now + 42.0) == refusals.NOTHING_PROPOSED
    hand.do(now + 41.0, want.JudgeExposure("right"))
    hand.do(now + 41.0, want.JudgeExposure(word))
    assert got(hand.plate) == 7.0
    proposed = proposal(hand.bench.plates.values())
    assert proposed is not None and proposed[0] == seconds
    assert proposal_text(hand.bench.plates.values()) == text
    assert why_not(hand.bench, want.TakeProposed(), now + 42.0) is None


def test_stops_that_were_typed_count_more_than_the_word() -> None:
    """A third of a stop typed at review is what is proposed, whatever the word says."""
    assert next_stops(0.33, "less") == 0.33
    assert next_stops(None, "less") == -0.5
    assert next_stops(None, None) is None
    assert proposed_seconds(8.0, 1.0) == 16.0
    assert stops_text(1.5) == "1.5 stops more" and stops_text(-1.0) == "a stop less"


def test_stops_beside_a_best_strip_count_from_it() -> None:
    """A best strip alone was right as it was; a word or stops beside it say what it wanted still."""
    assert next_stops(None, None, 3) == 0.0
    assert next_stops(0.5, None, 3) == 0.5
    assert next_stops(None, "less", 3) == -0.5


def test_a_test_plate_proposes_no_single_time() -> None:
    """Steps have no single time: the word is kept, and nothing is proposed in seconds."""
    hand = Hand(plan=ExposurePlan(steps=(2.0, 2.0, 4.0), between="run_on"))
    now = hand.to_stage("fix")
    hand.go(now + 40.0)
    hand.do(now + 41.0, want.JudgeExposure("less"))
    assert judged_stops(hand.plate) == -0.5 and got(hand.plate) is None
    assert proposal(hand.bench.plates.values()) is None


def test_the_best_strip_of_a_test_plate_is_proposed() -> None:
    """The strip that is called the best writes one rating; what it got is proposed, the last word counts."""
    hand = Hand()
    hand.new(0.0, plan=ExposurePlan(steps=(1.0, 1.0, 2.0), between="run_on"))
    hand.go(10.0, 30.0, 240.0, 260.0, 262.0, 263.0)
    assert strips_got(hand.plate) == ()
    hand.zero(267.0)
    assert strips_got(hand.plate) == (1.0, 2.0, 4.0) and got(hand.plate) is None
    hand.go(270.0, 272.0, 290.0)
    hand.zero(310.0)
    hand.go(350.0)
    hand.do(351.0, want.JudgeExposure(strip=3))
    decision = hand.do(352.0, want.JudgeExposure(strip=2))
    ((_, (line,)),) = decision.events
    assert isinstance(line, ev.Rating) and (line.best_strip, line.exposure_word) == (2, None)
    assert (best_strip(hand.plate), got(hand.plate)) == (2, 2.0)
    assert proposal(hand.bench.plates.values()) == (2.0, 0.0)
    assert why_not(hand.bench, want.TakeProposed(), 353.0) is None


def test_another_process_is_no_guide() -> None:
    """The last plate is a negative: what a tintype got is not proposed for it."""
    hand, now = fixing()
    hand.go(now + 40.0)
    hand.do(now + 41.0, want.JudgeExposure("more"))
    assert proposal(hand.bench.plates.values()) == (9.9, 0.5)
    hand.new(now + 50.0, process={**PROCESS, "name": "Other"}, plan=ExposurePlan(seconds=40.0))
    for press in (now + 52.0, now + 54.0):
        hand.go(press)
    assert {state.process.name for state in hand.bench.plates.values()} == {"Trial", "Other"}
    assert proposal(hand.bench.plates.values()) is None
    assert why_not(hand.bench, want.TakeProposed(), now + 55.0) == refusals.NOTHING_PROPOSED


def test_a_plate_exposed_without_a_plan_is_a_guide_too() -> None:
    """What it got is known from the keys: 7 s, half a stop more."""
    hand = Hand()
    now = hand.to_stage("fix")
    hand.go(now + 40.0)
    hand.do(now + 41.0, want.JudgeExposure("more"))
    assert (got(hand.plate), proposal(hand.bench.plates.values())) == (7.0, (9.9, 0.5))
