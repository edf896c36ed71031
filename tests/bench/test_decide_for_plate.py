"""An intent meant for one plate, whichever is large."""

from __future__ import annotations

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench import refusals
from darkroom.bench.all_plates import apply_decision
from darkroom.bench.decide_for_plate import decide_for_plate
from darkroom.bench.intents import Cause
from tests.kit.bench import Hand

NOW = 500.0
GIVE_UP = want.Abandon("fogged")


def _two_plates() -> tuple[Hand, str, str]:
    """Return a bench with two plates, the key of the one that is not large, and that of the large one."""
    hand = Hand()
    now = hand.to_stage("wash")
    hand.new(now + 10.0)
    hand.go(now + 20.0)
    large = hand.bench.large
    assert large is not None
    (other,) = (key for key in hand.bench.plates if key != large)
    return hand, other, large


def test_a_plate_that_is_not_large_takes_what_is_meant_for_it() -> None:
    """The plate named gets the line; the large one gets none and stays large."""
    hand, other, large = _two_plates()
    decision = decide_for_plate(hand.bench, other, GIVE_UP, Cause(at="", up=NOW))
    assert [plate for plate, _ in decision.events] == [other]
    assert decision.meant_for == other
    after = apply_decision(hand.bench, decision)
    assert after.large == large and after.plates[large].lines == hand.bench.plates[large].lines
    assert isinstance(after.plates[other].lines[-1], ev.PlateEnded)


def test_without_a_plate_the_large_one_is_meant() -> None:
    """Named or not, the large plate gets the same lines."""
    hand, _, large = _two_plates()
    cause = Cause(at="", up=NOW)
    unnamed = decide_for_plate(hand.bench, None, GIVE_UP, cause)
    assert [plate for plate, _ in unnamed.events] == [large]
    assert unnamed.events == decide_for_plate(hand.bench, large, GIVE_UP, cause).events


def test_a_plate_that_left_the_bench_is_finished() -> None:
    """What is meant for a plate that is gone goes to no other."""
    hand, _, _ = _two_plates()
    decision = decide_for_plate(hand.bench, "20260101-000000-gone00", GIVE_UP, Cause(at="", up=NOW))
    assert decision.refusal == refusals.FINISHED and decision.events == ()
