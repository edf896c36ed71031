"""What a second undo leaves held, and what a plate claims whose developer was left out."""

from __future__ import annotations

import pytest

from darkroom.bench import clocks, cues, large_place, view
from darkroom.bench import intents as want
from darkroom.session import telling
from tests.kit.bench import PROCESS, Hand, kinds


def soaked() -> dict[str, object]:
    """Return the trial process with water that ends by itself after the bath."""
    soak = {
        "name": "soak",
        "light": "red",
        "ends": "at_zero",
        "time": 20.0,
        "at": "water",
        "holds": ["water"],
    }
    stages = PROCESS["stages"]
    return {**PROCESS, "stages": [*stages[:3], soak, *stages[3:]]}


def test_a_second_undo_leaves_the_stage_before_unheld() -> None:
    """The water was held after its zero; back in the bath, one strike asks as ever and lifts nothing."""
    hand = Hand(process=soaked())
    hand.to_stage("sensitise")
    hand.go(100.0, 102.0)
    hand.zero(122.0)
    hand.do(124.0, want.Undo())
    assert (hand.plate.stage.name, hand.plate.held) == ("soak", True)
    hand.do(126.0, want.Undo())
    assert (hand.plate.stage.name, hand.plate.held) == ("sensitise", False)
    assert kinds(hand.go(130.0)) == ["Refused"]
    assert hand.replayed() == hand.plate


def test_behind_a_developer_left_out_the_wet_clock_claims_no_large_place() -> None:
    """Such a plate claims the place for its fixing only, and none while it washes."""
    hand = Hand()
    hand.to_stage("exposed")
    hand.do(275.0, want.Skip())
    hand.zero(295.0)
    assert [claim.rank for claim in large_place.claims(hand.bench, 300.0)] == [6]
    hand.go(340.0, 390.0)
    assert hand.plate.stage.name == "wash" and not large_place.claims(hand.bench, 400.0)


def test_behind_a_developer_left_out_nothing_is_past_wet() -> None:
    """The plate in the wash shows no wet time, nothing calls it past wet, and tell does not speak of it."""
    hand = Hand()
    hand.to_stage("exposed")
    hand.do(275.0, want.Skip())
    hand.zero(295.0)
    hand.go(340.0, 390.0)
    dry = clocks.dry_instant(hand.plate)
    assert hand.plate.stage.name == "wash" and dry is not None
    due = cues.cues(hand.bench, dry - 200.0, 400.0)
    assert {cue.name for cue in due}.isdisjoint({"wet_warning", "back_now", "past_wet"})
    assert view.plate_view(hand.plate, dry + 60.0).wet is None
    assert not any("wet" in text for text in telling.tell(hand.bench, dry + 60.0)[1])


AWAY = [
    want.ClockDid("slept", 300.0),
    want.CameBack("p1", 300.0, "up", "boot"),
    want.CameBack("p1", 300.0, "wall", "c"),
]


@pytest.mark.parametrize("away", AWAY, ids=["asleep", "killed", "another start"])
def test_a_bath_whose_zero_passed_unseen_calls_and_is_not_held(away: want.Intent) -> None:
    """The plate needs its hand, whoever saw the zero: it calls, overdue, and one strike lifts it."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    now = begun + 300.0
    hand.do(now, away)
    seen = view.plate_view(hand.plate, now + 1.0)
    assert (hand.plate.held, seen.shape, seen.calling is not None) == (False, "over", True)
    assert seen.seconds == pytest.approx(now + 1.0 - begun - 210.0)
    assert "overrun" in {cue.name for cue in cues.cues(hand.bench, now + 1.0)}
    assert kinds(hand.go(now + 5.0)) == ["StageEnded", "StageStarted"]
    assert hand.plate.done[-1].how == "strike" and hand.replayed() == hand.plate


@pytest.mark.parametrize("away", AWAY, ids=["asleep", "killed", "another start"])
def test_a_stop_whose_zero_passed_unseen_is_held(away: want.Intent) -> None:
    """Nobody saw it go on by itself: its zero brings nothing, it makes no sound, and one strike ends it."""
    hand = Hand()
    begun = hand.to_stage("stop")
    now = begun + 300.0
    hand.do(now, away)
    assert (hand.plate.stage.name, hand.plate.held) == ("stop", True)
    assert clocks.automatic_zero(hand.plate) is None
    assert not {cue.name for cue in cues.cues(hand.bench, now + 1.0)} & {"end", "overrun", "pip"}
    hand.go(now + 5.0)
    assert hand.plate.stage.name == "fix" and hand.plate.done[-1].how == "strike"
    assert hand.replayed() == hand.plate
