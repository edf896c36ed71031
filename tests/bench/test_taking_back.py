"""Undo, earlier, put back, mark: correcting what was recorded, with wet hands."""

from __future__ import annotations

import pytest

from darkroom.bench import clocks
from darkroom.bench import intents as want
from darkroom.bench.view import plate_view
from darkroom.process.model import ExposurePlan
from tests.kit.bench import Hand, kinds


def test_undo_brings_the_step_back_with_its_clock_running_on() -> None:
    """After an undo the stage goes on as if it had never been left."""
    hand = Hand()
    hand.to_stage("sensitise")
    hand.go(60.0, 61.0)
    undone = hand.do(65.0, want.Undo())
    assert kinds(undone) == ["Undone"]
    assert (hand.plate.stage.name, hand.plate.since) == ("sensitise", 30.0)
    assert hand.lines["p1"][-1].undoes == (6, 7)


def test_a_lead_ins_end_goes_together_with_its_lead_in() -> None:
    """Undo of a stage that its lead-in started brings back the ready state, in one strike."""
    hand = Hand(plan=ExposurePlan(seconds=30.0))
    hand.to_stage("drain")
    hand.go(260.0, 262.0)
    hand.zero(267.0)
    hand.do(270.0, want.Undo())
    assert (hand.plate.stage.name, hand.plate.phase) == ("expose", "ready")


def test_undo_behind_an_automatic_zero_holds() -> None:
    """A stop taken back after its zero is held, and says so in the journal."""
    hand = Hand()
    hand.to_stage("fix")
    hand.do(315.0, want.Undo())
    assert hand.plate.stage.name == "stop" and hand.plate.held
    assert hand.lines["p1"][-1].held is True
    assert plate_view(hand.plate, 316.0).shape == "held"


def test_undo_of_the_first_strike_leaves_the_plate_ready() -> None:
    """The plate stays on the bench, its journal begun, ready for its first stage again."""
    hand = Hand()
    hand.new(0.0)
    hand.go(10.0)
    hand.do(12.0, want.Undo())
    assert (hand.plate.stage.name, hand.plate.phase) == ("coat", "ready")
    hand.go(20.0)
    assert (hand.plate.phase, hand.plate.since) == ("running", 20.0)


def test_while_a_plate_develops_undo_takes_two_strikes() -> None:
    """The first strike asks, the second within 3 s takes back; later it asks again."""
    hand = Hand()
    hand.to_stage("develop")
    assert hand.do(276.0, want.Undo()).refusal == "again to take back start of develop"
    assert hand.do(280.0, want.Undo()).refusal is not None
    assert hand.do(282.0, want.Undo()).refusal is None
    assert (hand.plate.stage.name, hand.plate.phase) == ("develop", "ready")


def test_an_old_step_takes_two_strikes() -> None:
    """A step older than 60 s is taken back only by two strikes."""
    hand = Hand()
    hand.to_stage("sensitise")
    assert hand.do(91.0, want.Undo()).refusal is not None
    assert hand.do(92.0, want.Undo()).refusal is None
    assert hand.plate.stage.name == "coat"


def test_put_back_takes_an_undo_back() -> None:
    """The lines taken back stand again."""
    hand = Hand()
    hand.to_stage("sensitise")
    hand.go(60.0, 61.0)
    before = hand.plate
    hand.do(65.0, want.Undo())
    assert hand.do(66.0, want.PutBack()).refusal is None
    assert (hand.plate.stage, hand.plate.since, hand.plate.done) == (before.stage, before.since, before.done)
    assert hand.do(67.0, want.PutBack()).refusal is not None


def test_earlier_moves_the_last_step_five_seconds_but_not_before_the_one_before() -> None:
    """Each strike moves 5 s back; the step before is the floor; what follows is computed anew."""
    hand = Hand()
    hand.to_stage("sensitise")
    hand.do(40.0, want.Earlier())
    assert hand.plate.since == 25.0
    assert hand.plate.done[-1].seconds == 15.0
    assert clocks.zero(hand.plate) == pytest.approx(25.0 + 210.0)
    for up in (41.0, 42.0, 43.0):
        hand.do(up, want.Earlier())
    assert hand.plate.since == 10.0
    assert hand.do(44.0, want.Earlier()).refusal == "it is already as early as the step before it"
    assert hand.replayed() == hand.bench.plates["p1"]


def test_undo_takes_the_moves_of_its_step_with_it() -> None:
    """A moved step that is taken back leaves nothing behind."""
    hand = Hand()
    hand.to_stage("sensitise")
    hand.do(40.0, want.Earlier())
    hand.do(41.0, want.Undo())
    assert (hand.plate.stage.name, hand.plate.since) == ("coat", 10.0)


def test_an_ended_plate_can_be_taken_back() -> None:
    """The end of a plate is a step like any other."""
    hand = Hand()
    hand.to_stage("wash")
    hand.do(400.0, want.Abandon("dropped or broken"))
    assert hand.plate.phase == "ended"
    hand.do(405.0, want.Undo())
    assert (hand.plate.phase, hand.plate.stage.name, hand.plate.since) == ("running", "wash", 390.0)


def test_a_mark_is_kept_and_changes_no_clock() -> None:
    """A mark notes an instant and nothing else."""
    hand = Hand()
    hand.to_stage("sensitise")
    zero = clocks.zero(hand.plate)
    assert kinds(hand.do(50.0, want.MarkNow())) == ["Mark"]
    assert hand.plate.marks == (50.0,)
    assert clocks.zero(hand.plate) == zero


def test_skipping_a_stage_is_recorded_as_skipped() -> None:
    """What was left out is never claimed as done."""
    hand = Hand()
    hand.to_stage("drain")
    hand.do(250.0, want.Skip())
    assert (hand.plate.done[-1].how, hand.plate.stage.name) == ("skipped", "expose")


def test_undo_of_an_added_exposure_brings_the_plate_back_to_the_developer() -> None:
    """The added opening goes with its lead-in: the plate stands ready for the developer, exposed once."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("exposed")
    hand.do(271.0, want.AddExposure(4.0))
    hand.go(273.0)
    assert (hand.plate.stage.name, hand.plate.phase) == ("expose", "running")
    hand.do(274.0, want.Undo())
    assert (hand.plate.stage.name, hand.plate.phase) == ("develop", "ready")
    assert [done.stage for done in hand.plate.done][-1] == "expose"
