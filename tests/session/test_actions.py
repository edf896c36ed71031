"""What the menu and the footer offer is what the bench takes."""

from __future__ import annotations

import pytest

from darkroom.bench import decide_all, refusals
from darkroom.bench import intents as want
from darkroom.process.model import ExposurePlan
from darkroom.screens.bench.menu import OPENERS
from darkroom.session.actions import ACTIONS, BY_ID, LEAVE_OUT, MENU, Footer, footer
from darkroom.session.key_map import ZONES
from tests.kit.bench import CYANIDE, PROCESS, Hand


def test_the_exposure_is_set_only_until_the_lens_opens() -> None:
    """Once the lens is open the menu says, before anything is typed, that the exposure is made."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    assert BY_ID["plan"].why_not(hand.bench, 261.0) is None
    hand.go(262.0, 263.0)
    assert BY_ID["plan"].why_not(hand.bench, 264.0) == refusals.EXPOSURE_MADE
    assert hand.do(264.0, want.SetPlan(None)).refusal == refusals.EXPOSURE_MADE


def test_nothing_is_added_to_the_exposure_of_a_plate_that_dries() -> None:
    """Also where no wet window says when the developer goes on, a drying plate takes no second exposure."""
    process = {key: value for key, value in PROCESS.items() if key != "wet_window"}
    hand = Hand(process=process, plan=ExposurePlan(seconds=8.0))
    hand.to_stage("wash")
    hand.go(1300.0)
    assert BY_ID["add"].why_not(hand.bench, 1400.0) == refusals.ADD_BEFORE_DEVELOPER


@pytest.mark.parametrize("action", ["add", "plan", "skip", "abandon", "go"])
def test_a_plate_that_was_given_up_takes_nothing_more(action: str) -> None:
    """An exposed plate given up before the developer is finished for every action."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("exposed")
    hand.do(271.0, want.Abandon("fogged"))
    assert BY_ID[action].why_not(hand.bench, 280.0) == refusals.FINISHED


def test_the_protected_rinse_is_not_offered_to_be_left_out() -> None:
    """The menu gives the bench's own reason for the rinse before cyanide."""
    hand = Hand(process=CYANIDE)
    begun = hand.to_stage("stop") + 20.0
    hand.zero(begun)
    reason = "rinse keeps acid from the cyanide: it is never left out"
    assert BY_ID["skip"].why_not(hand.bench, begun + 2.0) == reason


def test_an_empty_rack_and_an_empty_bench_say_so() -> None:
    """Without a plate each action of a plate says that there is none."""
    hand = Hand()
    assert BY_ID["rack"].why_not(hand.bench, 0.0) == refusals.RACK_EMPTY
    assert BY_ID["go"].why_not(hand.bench, 0.0) == refusals.NO_PLATE
    assert BY_ID["leave"].why_not(hand.bench, 0.0) is None


def test_a_plate_that_has_not_begun_can_be_taken_off_but_not_taken_back() -> None:
    """Before its first strike a plate can be given up, set and started; there is no step to take back."""
    hand = Hand()
    hand.new(0.0)
    reasons = {
        name: BY_ID[name].why_not(hand.bench, 1.0) for name in ("abandon", "plan", "wet", "go", "undo")
    }
    assert reasons == {"abandon": None, "plan": None, "wet": None, "go": None, "undo": refusals.NOT_BEGUN}


def test_the_footer_keeps_what_a_second_strike_does() -> None:
    """A question, and a strike too soon after a change, take no action from the footer."""
    hand = Hand()
    begun = hand.to_stage("develop")
    assert decide_all.why_not(hand.bench, want.Undo(), begun + 5.0) is not None
    assert "undo" in dict(footer(hand.bench, begun + 5.0))
    hand.go(290.0)
    hand.zero(310.0)
    assert BY_ID["go"].why_not(hand.bench, 310.5) == refusals.AUTOMATIC
    assert "go" in dict(footer(hand.bench, 310.5))


def test_the_footer_offers_no_strike_to_a_stage_that_must_last() -> None:
    """During the least time of a rinse, and on a finished plate, go is not offered."""
    hand = Hand(process=CYANIDE)
    begun = hand.to_stage("stop") + 20.0
    hand.zero(begun)
    assert "go" not in dict(footer(hand.bench, begun + 2.0))
    assert "go" in dict(footer(hand.bench, begun + 30.0))
    hand.do(begun + 31.0, want.Abandon("fogged"))
    assert "go" not in dict(footer(hand.bench, begun + 40.0))


def test_the_footer_of_a_screen_follows_the_bench() -> None:
    """A change of the bench shows at once, the passing of time within half a second."""
    hand = Hand(process=CYANIDE)
    begun = hand.to_stage("stop") + 20.0
    screen_footer = Footer()
    assert "go" in dict(screen_footer.at(hand.bench, begun - 1.0))
    hand.zero(begun)
    for now in (begun + 2.0, begun + 29.9, begun + 30.5):
        assert dict(screen_footer.at(hand.bench, now)) == dict(footer(hand.bench, now))


def test_every_zone_has_one_action_and_no_key_twice() -> None:
    """The key map's zones are those of the records, and no key stands in two of them."""
    assert tuple(action.zone for action in ACTIONS) == ZONES
    keys = [key for action in ACTIONS for key in action.keys]
    assert len(keys) == len(set(keys))


def test_every_action_does_something() -> None:
    """A record has an intent or names what it opens; what it opens is known, and nothing else is."""
    assert all(action.intent is not None or action.opens is not None for action in (*ACTIONS, *MENU))
    assert {action.opens for action in (*MENU, LEAVE_OUT) if action.opens is not None} == set(OPENERS)
