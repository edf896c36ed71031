"""A rehearsal's clock runs fast, hands do not: what is usual for a hand is held against its own seconds."""

from __future__ import annotations

import pytest

from darkroom.bench import instruction, large_place, temperatures
from tests.kit.bench import Hand


@pytest.mark.parametrize(("speed", "over"), [(None, 1.0), (5.0, 5.0), (20.0, 20.0)])
def test_the_usual_range_ends_in_the_hands_own_seconds(speed: float | None, over: float) -> None:
    """At 20 times the speed of life a range up to 30 s ends after 600 s of that clock: 30 s of the hand."""
    hand = Hand(speed=speed)
    hand.new(0.0)
    hand.go(10.0)
    state = hand.plate
    usual = temperatures.usual(state)
    assert usual is not None
    assert temperatures.over_usual(state) == usual[1] * over
    assert large_place.calling_since(state, state.since + usual[1] * over - 0.1) is None
    assert large_place.calling_since(state, state.since + usual[1] * over) is not None


def test_no_hand_is_told_in_a_rehearsal_that_it_is_slow() -> None:
    """However long it takes, a rehearsal never says "over the usual"; in earnest the bench does."""
    told = {}
    for speed in (None, 20.0):
        hand = Hand(speed=speed)
        hand.new(0.0)
        hand.go(10.0)
        told[speed] = instruction.sentence(hand.plate, hand.plate.since + 5000.0)
    assert "Over the usual" in told[None]
    assert "usual" not in told[20.0]
