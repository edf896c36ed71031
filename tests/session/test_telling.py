"""What the tool tells of the large plate, and that nothing changes by it."""

from __future__ import annotations

from darkroom.bench.all_plates import Bench
from darkroom.process.model import ExposurePlan
from darkroom.session.telling import tell
from tests.kit.bench import Hand


def told(hand: Hand, now: float) -> str:
    """Return the text that tells of the large plate."""
    return tell(hand.bench, now)[0]


def test_plate_stage_time_and_what_to_do() -> None:
    """In the bath: which plate, which stage, what is left, and what the hand does at the call."""
    hand = Hand(humidity=(50.0, "hand"), temperatures={"room": (20.0, "hand")})
    begun = hand.to_stage("sensitise")
    assert told(hand, begun + 30.0) == "plate 1, sensitise, 3 min left, then lift"
    assert told(hand, begun + 230.0) == "plate 1, sensitise, 20 s over, lift"


def test_the_wet_time_is_told_while_it_runs() -> None:
    """Between bath and developer the wet time is told, and whether it is assumed; past wet, for how long."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    lifted = hand.to_stage("drain")
    assert told(hand, lifted + 20.0) == ("plate 1, drain, 20 s so far, wet 9 min 40 s assumed, then expose")
    hand.go(lifted + 30.0)
    assert told(hand, lifted + 605.0) == "plate 1, expose, ready, past wet 5 s, press, then uncap"


def test_a_lead_in_and_the_developer_tell_their_verbs() -> None:
    """The verb of the lead-in while it counts; in the developer what comes at its end."""
    hand = Hand(humidity=(50.0, "hand"), temperatures={"room": (20.0, "hand")})
    hand.to_stage("lead_in 2")
    assert told(hand, 273.0).endswith("then pour")
    hand.go(274.0)
    assert told(hand, 279.0) == "plate 1, develop, 10 s left, then flood"


def test_an_empty_bench_and_a_plate_that_has_not_begun() -> None:
    """Without a plate it says so; one without a number is the new plate."""
    assert tell(Bench(), 0.0) == ("no plate on the bench", ("no plate on the bench",))
    hand = Hand()
    hand.new(0.0)
    assert told(hand, 1.0) == "new plate, coat, ready, press"
