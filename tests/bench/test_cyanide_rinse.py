"""No intent takes a plate from acid into cyanide without its rinse."""

from __future__ import annotations

from typing import Any

import pytest

from darkroom.bench import clocks
from darkroom.bench import intents as want
from tests.kit.bench import CYANIDE, Hand, kinds


def rinsing(**rinse: Any) -> tuple[Hand, float]:
    """A plate whose rinse before cyanide, with these keys changed, has just begun or stands ready."""
    stages = [{**stage, **rinse} if stage["name"] == "rinse" else stage for stage in CYANIDE["stages"]]
    hand = Hand(process={**CYANIDE, "stages": stages})
    begun = hand.to_stage("stop") + 20.0
    hand.zero(begun)
    assert hand.plate.stage.name == "rinse"
    return hand, begun


@pytest.mark.parametrize("after", [2.0, 29.0, 45.0, 70.0])
def test_the_rinse_before_cyanide_is_never_left_out(after: float) -> None:
    """Leaving the rinse out is refused for as long as it runs, with the reason, also in the journal."""
    hand, begun = rinsing()
    decision = hand.do(begun + after, want.Skip())
    assert decision.refusal == "rinse keeps acid from the cyanide: it is never left out"
    assert kinds(decision) == ["Refused"]
    assert hand.plate.stage.name == "rinse"


def test_a_rinse_that_stands_ready_is_not_left_out_either() -> None:
    """A rinse that waits for its strike is kept too."""
    hand, begun = rinsing(starts="on_strike")
    assert hand.plate.phase == "ready"
    assert hand.do(begun + 2.0, want.Skip()).refusal is not None
    assert hand.plate.stage.name == "rinse"


def test_the_water_between_cyanide_and_acid_is_never_left_out() -> None:
    """The wash that parts cyanide from a later acid is kept."""
    hand, begun = rinsing()
    hand.go(begun + 56.0, begun + 76.0, begun + 86.0)
    assert hand.plate.stage.name == "wash"
    refusal = hand.do(begun + 90.0, want.Skip()).refusal
    assert refusal == "wash keeps cyanide from the acid: it is never left out"


def test_the_wash_after_cyanide_is_never_left_out() -> None:
    """Without any acid after it the wash is still what takes the cyanide out of the plate."""
    hand = Hand(process={**CYANIDE, "stages": CYANIDE["stages"][:-1]})
    begun = hand.to_stage("stop") + 20.0
    hand.zero(begun)
    hand.go(begun + 56.0, begun + 76.0, begun + 86.0)
    assert hand.plate.stage.name == "wash"
    refusal = hand.do(begun + 90.0, want.Skip()).refusal
    assert refusal == "wash washes the cyanide out: it is never left out"
    assert hand.plate.stage.name == "wash"


def test_other_stages_of_a_cyanide_process_can_be_left_out() -> None:
    """The water before the rinse has no `at_least`: it is left out as elsewhere."""
    hand = Hand(process=CYANIDE)
    begun = hand.to_stage("stop")
    hand.do(begun + 2.0, want.Skip())
    assert (hand.plate.done[-1].how, hand.plate.stage.name) == ("skipped", "rinse")


def test_a_strike_does_not_leave_the_rinse_before_its_least_time() -> None:
    """A strike before `at_least` is refused with what is missing; from then on it is asked, and answered."""
    hand, begun = rinsing()
    assert hand.go(begun + 29.5).refusal == "rinse: 0:01 more"
    assert hand.go(begun + 30.0).refusal == "0:30 short: again to fix"
    assert hand.go(begun + 31.0).refusal is None
    assert hand.plate.stage.name == "fix"


def test_a_rinse_brought_back_as_held_still_lasts_its_least_time() -> None:
    """A rinse that would go on by itself lasts its `at_least` also when it is held."""
    hand, begun = rinsing(ends="at_zero", time=40.0)
    hand.do(begun + 50.0, want.ClockDid("slept", 45.0))
    assert hand.plate.held
    hand.do(begun + 51.0, want.Skip())
    assert hand.plate.stage.name == "rinse"
    assert hand.go(begun + 52.0).refusal is None


def test_a_warm_rinse_does_not_go_on_by_itself_before_its_least_time() -> None:
    """Where a table gives less than `at_least` at the water's temperature, the zero waits for `at_least`."""
    hand, begun = rinsing(ends="at_zero", time=[[10.0, 60.0], [30.0, 20.0]])
    hand.do(begun + 1.0, want.ReadTemperature("water", 30.0, "hand"))
    assert clocks.automatic_zero(hand.plate) == begun + 30.0


def test_a_rinse_on_the_rack_is_not_taken_before_its_least_time() -> None:
    """A rinse that lies on the rack is left only after its `at_least`."""
    hand, begun = rinsing(rack=True, ends="by_eye", time=None)
    assert hand.plate.racked
    assert hand.do(begun + 10.0, want.FromRack("p1")).refusal == "rinse: 0:20 more"
    assert hand.do(begun + 30.0, want.FromRack("p1")).refusal is None


def test_the_start_of_the_rinse_before_cyanide_is_not_moved() -> None:
    """Moved earlier it would count water that nobody saw: refused with the reason, the least time stands."""
    hand, begun = rinsing()
    for press in range(4):
        refusal = hand.do(begun + 2.0 + press, want.Earlier()).refusal
        assert refusal == "rinse keeps acid from the cyanide: its start stays"
    assert hand.plate.since == begun
    assert hand.go(begun + 29.0).refusal == "rinse: 0:01 more"


def test_the_start_of_the_water_after_cyanide_is_not_moved() -> None:
    """Nor is the start of the wash that parts cyanide from a later acid."""
    hand, begun = rinsing()
    hand.go(begun + 56.0, begun + 76.0, begun + 86.0)
    assert hand.plate.stage.name == "wash"
    refusal = hand.do(begun + 90.0, want.Earlier()).refusal
    assert refusal == "wash keeps cyanide from the acid: its start stays"
