"""Two plates and more: which is large, what clashes, who may call."""

from __future__ import annotations

import pytest

from darkroom.bench import hazards, large_place
from darkroom.bench import intents as want
from darkroom.bench.view import bench_view
from darkroom.process.model import ExposurePlan
from tests.kit.bench import CYANIDE, PROCESS, Hand


def two_plates() -> Hand:
    """Plate 1 washes since 390; plate 2 is being coated since 410."""
    hand = Hand()
    hand.to_stage("wash")
    hand.new(400.0)
    hand.go(410.0)
    return hand


def settled(hand: Hand, now: float) -> str | None:
    """Settle the bench at `now` and return the large plate."""
    hand.bench = large_place.settle(hand.bench, now)
    return hand.bench.large


def test_a_plate_being_coated_holds_the_large_place_against_a_call() -> None:
    """The wash of plate 1 ends while plate 2 is coated: plate 2 stays large, plate 1 calls from the rail."""
    hand = two_plates()
    assert settled(hand, 1295.0) == "p2"
    rail = bench_view(hand.bench, 1295.0).rail
    assert [(view.number, view.calling) for view in rail] == [(1, 1290.0)]


def test_a_plate_between_bath_and_fixer_holds_the_large_place() -> None:
    """From the end of the bath to the fixer nothing takes the place."""
    hand = two_plates()
    hand.go(430.0, 640.0)
    assert settled(hand, 1400.0) == "p2"


def test_in_the_bath_a_call_takes_the_large_place_but_not_within_two_seconds_of_a_strike() -> None:
    """A plate in the bath may wait: plate 1's call takes the place, 2 s after a strike at the earliest."""
    hand = two_plates()
    hand.go(1289.0)
    assert settled(hand, 1290.5) == "p2"
    assert settled(hand, 1291.1) == "p1"


def test_a_strike_in_the_first_second_after_the_change_is_refused() -> None:
    """The hand meant the other plate: "plate 1 now"."""
    hand = two_plates()
    hand.go(1200.0)
    assert settled(hand, 1290.0) == "p1"
    assert hand.go(1290.9).refusal == "plate 1 now"
    assert hand.go(1291.1).refusal is None


def test_a_look_aside_keeps_for_five_seconds() -> None:
    """Left and right show another plate; the plate that holds the place takes it back after 5 s."""
    hand = two_plates()
    hand.do(420.0, want.Look(1))
    assert settled(hand, 424.9) == "p1"
    assert settled(hand, 425.1) == "p2"
    assert hand.bench.chosen is None


def test_look_says_when_there_is_only_one_plate() -> None:
    """With one plate there is nothing to look at."""
    hand = Hand()
    hand.to_stage("sensitise")
    assert hand.do(40.0, want.Look(1)).refusal == "there is only this plate"


def test_ether_and_flame_on_two_plates_are_warned_of_while_they_last() -> None:
    """Coating one plate while another is warmed over a flame is warned of, before the bottle is opened."""
    hand = Hand()
    hand.to_stage("wash")
    hand.go(1300.0)
    hand.do(1310.0, want.FromRack("p1"))
    hand.go(1312.0)
    assert hazards.clashes(hand.bench) == ()
    hand.new(1320.0)
    assert hazards.clashes(hand.bench) == ("ether on the bench and a flame: put the flame out",)
    hand.go(1325.0, 1326.0)
    assert hazards.clashes(hand.bench) == ("ether on the bench and a flame: put the flame out",)
    hand.go(1345.0)
    assert hazards.clashes(hand.bench) == ()


def test_readings_reach_every_plate_and_the_next_one_takes_them() -> None:
    """A reading is written to all plates on the bench; a new plate takes the latest, a stale one not."""
    hand = two_plates()
    hand.do(500.0, want.ReadTemperature("bath", 17.5, "hand"))
    assert [hand.bench.plates[p].temperatures["bath"][-1] for p in ("p1", "p2")] == [
        (500.0, 17.5, "hand")
    ] * 2
    hand.new(600.0)
    assert hand.plate.temperatures["bath"][-1][1:] == (17.5, "hand")
    hand.new(500.0 + 7201.0)
    assert hand.plate.temperatures["bath"][-1][1:] == (20.0, "assumed")


def test_progress_is_kept_when_the_bath_warms() -> None:
    """Half done at 20 °C stays half done: what is left is half of the time at 30 °C."""
    hand = Hand()
    hand.to_stage("sensitise")
    hand.do(30.0 + 105.0, want.ReadTemperature("bath", 30.0, "hand"))
    view = bench_view(hand.bench, 30.0 + 105.0).large
    assert view is not None
    assert abs(view.seconds - 165.0 / 2) < 0.01


def rank_of(hand: Hand, plate: str, now: float) -> int | None:
    """Return the plate's claim to the large place at `now`."""
    return next((claim.rank for claim in large_place.claims(hand.bench, now) if claim.plate == plate), None)


def test_each_claim_has_its_place_in_the_list() -> None:
    """One plate from coating to the wash: what gives it a right to the large place, and from when."""
    hand = Hand(plan=ExposurePlan(seconds=60.0))
    hand.to_stage("ready")
    assert rank_of(hand, "p1", 261.0) == 4  # wet, and ready
    hand.go(262.0)
    assert rank_of(hand, "p1", 263.0) == 1  # lead-in
    hand.zero(267.0)
    assert rank_of(hand, "p1", 290.0) is None  # exposing for long: another may be large
    assert rank_of(hand, "p1", 298.0) == 1  # less than 30 s left
    hand.zero(327.0)
    assert rank_of(hand, "p1", 329.0) == 4
    hand.go(330.0, 331.0)
    assert rank_of(hand, "p1", 332.0) == 1  # developing
    hand.go(346.0)
    assert rank_of(hand, "p1", 360.9) == 1 and rank_of(hand, "p1", 361.1) is None  # 15 s of water
    hand.zero(366.0)
    assert rank_of(hand, "p1", 370.0) == 6  # fixing
    hand.go(410.0)
    assert rank_of(hand, "p1", 420.0) is None


def test_bath_and_ether_have_their_claims() -> None:
    """Coating runs with ether open; a bath counts from 10 s before its call."""
    hand = Hand()
    hand.to_stage("coat")
    assert rank_of(hand, "p1", 15.0) == 3
    hand.go(30.0)
    assert rank_of(hand, "p1", 229.9) is None and rank_of(hand, "p1", 230.1) == 5


def test_a_cyanide_fixer_counts_like_a_bath() -> None:
    """In cyanide a plate is watched from 10 s before its call, also once it has cleared."""
    hand = Hand(process=CYANIDE)
    begun = hand.to_stage("stop") + 20.0
    hand.zero(begun)
    hand.go(begun + 56.0)
    fixing = begun + 56.0
    assert rank_of(hand, "p1", fixing + 15.0) == 6
    assert rank_of(hand, "p1", fixing + 21.0) == 5  # the usual range ends at 30 s
    hand.go(fixing + 20.0)
    assert rank_of(hand, "p1", fixing + 19.0) is None
    assert rank_of(hand, "p1", fixing + 20.5) == 5  # 30 s in all


def test_of_two_wet_plates_the_one_with_less_time_left_is_large() -> None:
    """Both wait for the developer: the plate that left the bath first is large."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    hand.new(300.0)
    hand.go(310.0, 312.0, 330.0, 540.0, 560.0)
    assert hand.bench.plates["p2"].stage.name == "expose"
    assert settled(hand, 570.0) == "p1"


def test_a_bath_that_calls_comes_before_the_plate_that_waits_for_it() -> None:
    """Plate 2 is coated while plate 1's bath is over: plate 1 is lifted first, then plate 2 is large."""
    hand = Hand()
    hand.to_stage("sensitise")
    hand.new(215.0)
    hand.go(220.0)
    assert settled(hand, 239.0) == "p2"
    assert settled(hand, 240.5) == "p1"
    hand.go(242.0)
    assert settled(hand, 245.0) == "p2"


def test_a_bath_for_two_keeps_the_coated_plate_large() -> None:
    """Where the file says that the bath holds two plates, the second can go in beside the first."""
    stages = [
        {**stage, "holds_plates": 2} if stage["name"] == "sensitise" else stage for stage in PROCESS["stages"]
    ]
    hand = Hand(process={**PROCESS, "stages": stages})
    hand.to_stage("sensitise")
    hand.new(215.0)
    hand.go(220.0)
    assert settled(hand, 245.0) == "p2"


def test_an_overdue_fixer_yields_to_the_bath_that_calls() -> None:
    """Plate 1 is long overdue in the fixer, plate 2's bath is over: the strike lifts plate 2."""
    hand = Hand()
    hand.to_stage("fix")
    hand.go(345.0)  # cleared: it calls at 380
    hand.new(346.0)
    hand.go(350.0, 370.0)
    assert settled(hand, 500.0) == "p1"
    assert settled(hand, 571.0) == "p2"


def test_a_plate_put_on_the_bench_beside_a_wet_one_asks_before_its_first_strike() -> None:
    """A new plate is large for 5 s; a strike in that time asks, the next one starts it."""
    hand = Hand()
    hand.to_stage("ready")
    hand.new(300.0)
    asked = hand.go(303.0)
    assert asked.refusal == "the new plate, though plate 1 waits? Again for the new plate"
    assert "p2" not in hand.lines
    assert settled(hand, 310.0) == ""
    assert hand.go(310.5).refusal is None
    assert hand.lines["p2"][0].number == 2


def test_a_new_plate_that_takes_no_strike_gives_the_place_back_after_five_seconds() -> None:
    """The wet plate is large again, and takes the strikes."""
    hand = Hand()
    hand.to_stage("ready")
    hand.new(300.0)
    assert settled(hand, 304.9) == ""
    assert settled(hand, 305.1) == "p1"
    assert hand.go(306.2).refusal is None
    assert hand.bench.plates["p1"].phase == "lead_in"


def test_a_choice_against_no_claim_stands_until_its_plate_takes_a_strike() -> None:
    """Plate 2 lies in the bath; plate 1, looked at in the wash, stays large and calls only there."""
    hand = two_plates()
    hand.go(430.0)
    hand.do(440.0, want.Look(1))
    assert settled(hand, 600.0) == "p1"
    assert settled(hand, 630.5) == "p2"  # 10 s before its bath calls
    assert hand.bench.chosen is None


def test_an_undo_takes_back_the_plate_that_was_given_up_and_never_another() -> None:
    """Plate 1 washes, plate 2 is given up: an undo brings plate 2 back and large, plate 1 is untouched."""
    hand = two_plates()
    hand.go(430.0)
    hand.do(500.0, want.Abandon("fogged"))
    assert settled(hand, 500.1) == "p1"
    before = hand.bench.plates["p1"]
    undone = hand.do(502.0, want.Undo())
    assert [plate for plate, _ in undone.events] == ["p2"]
    assert hand.bench.large == "p2" and hand.plate.phase == "running"
    assert hand.bench.plates["p1"] == before


@pytest.mark.parametrize("way", ["another strike", "too late"])
def test_an_end_is_taken_back_first_for_a_minute_and_until_another_strike(way: str) -> None:
    """After a strike of plate 1, or after a minute, an undo is plate 1's own again."""
    hand = two_plates()
    hand.go(430.0)
    hand.do(1280.0, want.Abandon("fogged"))
    hand.bench = large_place.settle(hand.bench, 1283.0)
    if way == "another strike":
        hand.go(1285.0)
        hand.do(1286.0, want.Undo())
    else:
        hand.do(1341.0, want.Undo())
        hand.do(1342.0, want.Undo())
    assert hand.bench.plates["p2"].phase == "ended"


def test_a_racking_is_taken_back_first() -> None:
    """The plate that went to the rack by a stray strike comes back from it by an undo."""
    hand = two_plates()
    hand.go(430.0)
    hand.do(600.0, want.Look(1))
    hand.go(1290.0, 1291.0)
    assert hand.bench.plates["p1"].racked
    assert settled(hand, 1294.0) == "p2"
    hand.do(1295.0, want.Undo())
    assert (hand.bench.large, hand.plate.stage.name, hand.plate.racked) == ("p1", "wash", False)


def test_a_finished_plate_keeps_the_large_place_for_two_seconds() -> None:
    """No other plate takes the strikes within two seconds of the last one."""
    hand = two_plates()
    hand.go(430.0)
    hand.do(500.0, want.Look(1))
    hand.go(1290.0, 1291.0)
    assert settled(hand, 1292.9) == "p1"
    assert settled(hand, 1293.1) == "p2"


def test_go_on_a_bench_at_rest_offers_a_new_plate() -> None:
    """Without a plate on the bench go offers one, but not right after a strike."""
    hand = Hand()
    assert large_place.is_at_rest(hand.bench, 0.0)
    hand.to_stage("wash")
    assert not large_place.is_at_rest(hand.bench, 1295.0)
    hand.go(1300.0)
    assert not large_place.is_at_rest(hand.bench, 1301.9)
    assert large_place.is_at_rest(hand.bench, 1302.0)
