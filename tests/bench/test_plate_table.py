"""What a plate does: each row of the table of strikes and zeros."""

from __future__ import annotations

import pytest

from darkroom.bench import clocks, decide, decide_all, refusals
from darkroom.bench import intents as want
from darkroom.bench.fold import fold
from darkroom.bench.view import plate_view
from darkroom.process.model import ExposurePlan
from tests.kit.bench import Hand, kinds


def test_the_first_strike_writes_plate_and_stage_in_one_cause() -> None:
    """The first strike starts the first stage that is not optional, and the journal begins with it."""
    hand = Hand()
    hand.new(0.0)
    assert kinds(hand.go(10.0)) == ["PlateStarted", "StageStarted"]
    assert hand.plate.stage.name == "coat"
    assert {line.at for line in hand.lines["p1"]} == {hand.lines["p1"][0].at}


def test_a_by_eye_stage_ends_on_a_strike_and_the_next_starts_at_that_instant() -> None:
    """Coat ends on a strike; sensitise begins at the same instant, planned for its temperature."""
    hand = Hand()
    hand.new(0.0)
    assert kinds(hand.go(10.0, 31.5)) == ["StageEnded", "StageStarted"]
    started = hand.lines["p1"][-1]
    assert (started.stage, started.planned, started.celsius, started.up) == ("sensitise", 210.0, 20.0, 31.5)


def test_on_time_calls_at_zero_and_counts_the_overrun() -> None:
    """An on_time stage does not end at zero: it calls, and its overrun is counted."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    assert clocks.automatic_zero(hand.plate) is None
    view = plate_view(hand.plate, begun + 225.0)
    assert (view.shape, round(view.seconds)) == ("over", 15)
    assert kinds(hand.go(begun + 225.0)) == ["StageEnded", "StageStarted"]
    assert hand.plate.done[-1].seconds == 225.0
    assert hand.plate.done[-1].planned == pytest.approx(210.0)


def test_a_ready_stage_counts_its_lead_in_and_starts_at_its_zero() -> None:
    """A strike on a ready exposure starts the lead-in; its zero starts the exposure by itself."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("drain")
    hand.go(260.0)
    assert (hand.plate.stage.name, hand.plate.phase) == ("expose", "ready")
    assert kinds(hand.go(262.0)) == ["LeadInStarted"]
    assert clocks.automatic_zero(hand.plate) == 267.0
    assert kinds(hand.zero(267.0)) == ["StageStarted"]
    assert clocks.automatic_zero(hand.plate) == 275.0
    assert kinds(hand.zero(275.0)) == ["StageEnded"]
    assert (hand.plate.stage.name, hand.plate.phase, hand.plate.done[-1].how) == ("develop", "ready", "zero")


def test_a_strike_in_the_lead_in_starts_at_once() -> None:
    """A second strike does not wait for the lead-in."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("drain")
    hand.go(260.0, 262.0, 263.5)
    assert (hand.plate.phase, hand.plate.since) == ("running", 263.5)


def test_an_exposure_without_a_plan_counts_up_to_a_strike() -> None:
    """Without a plan a strike opens and a strike closes."""
    hand = Hand()
    hand.to_stage("drain")
    hand.go(260.0, 262.0, 263.0)
    assert clocks.zero(hand.plate) is None
    hand.go(270.0)
    assert (hand.plate.done[-1].seconds, hand.plate.done[-1].planned) == (7.0, None)


def test_clearing_doubles_the_time_and_a_second_strike_does_not_shorten_it() -> None:
    """Cleared at 45 s: 90 s in all, 45 s left (Hasluck 1905; Steadman 1914; Wellington: twice the
    clearing time); a strike before is asked, and the next one is short."""
    hand = Hand()
    begun = hand.to_stage("fix")
    assert kinds(hand.go(begun + 45.0)) == ["Cleared"]
    assert clocks.zero(hand.plate) == begun + 90.0
    refused = hand.go(begun + 60.0)
    assert kinds(refused) == ["Refused"]
    assert refused.refusal == "0:30 short: again to wash"
    assert clocks.zero(hand.plate) == begun + 90.0
    hand.go(begun + 63.0)
    assert hand.plate.done[-1].how == "short"


def test_a_question_is_forgotten_after_eight_seconds() -> None:
    """Two early strikes more than 8 s apart are both asked."""
    hand = Hand()
    begun = hand.to_stage("fix")
    hand.go(begun + 45.0)
    assert hand.go(begun + 50.0).refusal is not None
    assert hand.go(begun + 58.1).refusal is not None
    assert hand.plate.stage.name == "fix"


def test_after_an_automatic_change_a_strike_is_refused_for_a_second() -> None:
    """A strike within 1.0 s of an automatic change was meant for what was before."""
    hand = Hand()
    begun = hand.to_stage("fix")
    assert hand.go(begun + 0.9).refusal == "it went on by itself"
    assert hand.go(begun + 1.0).refusal == "fix: cleared already? Again if it has"


def test_away_exposures_are_told_by_one_strike() -> None:
    """With the camera out of reach one strike says "exposed as planned", and the log says `told`."""
    hand = Hand(plan=ExposurePlan(seconds=30.0), timed="away")
    hand.to_stage("drain")
    hand.go(260.0)
    assert kinds(hand.go(380.0)) == ["StageEnded"]
    assert (hand.plate.done[-1].how, hand.plate.stage.name, hand.plate.phase) == ("told", "develop", "ready")


def test_steps_that_wait_for_a_strike_pause_with_the_cap_on() -> None:
    """Between two steps the lens is capped until a strike; the log gives each strip's total."""
    hand = Hand(plan=ExposurePlan(steps=(2.0, 2.0, 4.0), between="strike"))
    hand.to_stage("drain")
    hand.go(260.0, 262.0, 263.0)
    assert plate_view(hand.plate, 266.0).shape == "pause"
    assert clocks.automatic_zero(hand.plate) is None
    hand.go(270.0)
    assert plate_view(hand.plate, 271.0).shape == "down"
    hand.go(280.0)
    assert clocks.automatic_zero(hand.plate) == 284.0
    hand.zero(284.0)
    ended = hand.lines["p1"][-1]
    assert (ended.exposed, ended.strips) == (8.0, (2.0, 4.0, 8.0))


def test_add_to_the_exposure_opens_a_second_part_before_the_developer() -> None:
    """After an exposure has ended, a further part can be added; both count as exposed."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("drain")
    hand.go(260.0, 262.0)
    hand.zero(267.0)
    hand.zero(275.0)
    assert kinds(hand.do(280.0, want.AddExposure(4.0))) == ["LeadInStarted"]
    hand.zero(285.0)
    assert clocks.automatic_zero(hand.plate) == 289.0
    hand.zero(289.0)
    assert hand.plate.stage.name == "develop"
    assert hand.lines["p1"][-1].exposed == 12.0


def test_a_racked_plate_is_not_taken_off_the_rack_by_leaving_a_stage_out() -> None:
    """While it is still the large plate, "leave this stage out" is refused: the rack's own row takes it."""
    hand = Hand()
    hand.to_stage("wash")
    hand.go(1300.0)
    assert hand.bench.large == "p1" and hand.plate.racked
    assert decide_all.why_not(hand.bench, want.Skip(), 1301.0) == refusals.RACKED
    hand.do(1301.0, want.Skip())
    assert hand.plate.racked


def test_the_plate_goes_to_the_rack_and_comes_back_for_varnish() -> None:
    """After the wash a plate leaves the bench for the rack; from the menu it comes back to be warmed."""
    hand = Hand()
    hand.to_stage("wash")
    assert kinds(hand.go(1300.0)) == ["StageEnded", "StageStarted", "Racked"]
    assert hand.bench.rack and not hand.bench.on_bench
    hand.do(5000.0, want.FromRack("p1"))
    assert (hand.plate.stage.name, hand.plate.phase, hand.plate.racked) == ("warm", "ready", False)
    hand.go(5001.0, 5030.0)
    assert kinds(hand.go(5090.0)) == ["StageEnded", "PlateEnded"]
    assert hand.plate.phase == "ended"


def test_a_plate_on_the_rack_can_finish_unvarnished() -> None:
    """Finish unvarnished ends the drying and the plate."""
    hand = Hand()
    hand.to_stage("wash")
    hand.go(1300.0)
    assert kinds(hand.do(5000.0, want.FinishUnvarnished("p1"))) == ["StageEnded", "PlateEnded"]
    assert hand.replayed().ended.how == "unvarnished"


def test_what_a_torn_journal_lost_of_its_last_cause_is_found_again() -> None:
    """Cut after any line of the cause that racked the plate, the rest follows from the process."""
    hand = Hand()
    hand.to_stage("wash")
    hand.go(1300.0)
    lines = hand.lines["p1"]
    assert decide.lost_lines(fold(lines)) == ()
    assert decide.lost_lines(fold(lines[:-1])) == tuple(lines[-1:])
    assert decide.lost_lines(fold(lines[:-2])) == tuple(lines[-2:])
    assert decide.lost_lines(fold(lines[:-3])) == ()


def test_a_finish_that_was_taken_back_leaves_the_large_place_alone() -> None:
    """The plate is on the rack again, and what was large stays large."""
    hand = Hand()
    hand.to_stage("wash")
    hand.go(1300.0)
    hand.new(1310.0)
    hand.go(1315.0)
    hand.do(1320.0, want.FinishUnvarnished("p1"))
    hand.do(1330.0, want.Undo())
    assert hand.bench.plates["p1"].racked and hand.bench.large == "p2"


def test_replaying_the_lines_gives_the_same_state() -> None:
    """The state is the fold of the lines alone."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("wash")
    assert hand.replayed() == hand.bench.plates["p1"]


def test_a_sleep_over_an_automatic_zero_holds_the_plate() -> None:
    """A stop that ended while the machine slept is held: nothing but a strike ends it."""
    hand = Hand()
    begun = hand.to_stage("stop")
    hand.do(begun + 60.0, want.ClockDid("slept", 50.0))
    assert hand.plate.held
    assert clocks.automatic_zero(hand.plate) is None
    assert plate_view(hand.plate, begun + 61.0).shape == "held"
    hand.go(begun + 62.0)
    assert hand.plate.stage.name == "fix"


def test_a_stall_over_an_automatic_zero_lets_it_stand() -> None:
    """A program that stalled without sleep does not hold: the zero stands where it was."""
    hand = Hand()
    begun = hand.to_stage("stop")
    hand.do(begun + 25.0, want.ClockDid("stalled", 8.0))
    assert clocks.automatic_zero(hand.plate) == begun + 20.0


def test_a_lead_in_that_ended_while_away_stands_ready_again() -> None:
    """Nobody saw the end of that lead-in, so the exposure did not begin."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("drain")
    hand.go(260.0, 262.0)
    hand.do(400.0, want.CameBack("p1", 138.0, "up", "boot"))
    assert (hand.plate.phase, hand.plate.stage.name) == ("ready", "expose")


def test_a_restart_of_the_machine_brings_the_clock_over_by_the_wall() -> None:
    """After a reboot the time gone by the wall clock counts, and times are marked as estimated."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    hand.do(7.0, want.CameBack("p1", 100.0, "wall", "other"))
    view = plate_view(hand.plate, 8.0)
    assert (view.shape, view.seconds) == ("down", pytest.approx(109.0))
    assert view.estimated
    assert begun == 30.0
