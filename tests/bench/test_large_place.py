"""Two plates and more: which is large, what clashes, who may call."""

from __future__ import annotations

from darkroom.bench import hazards, large_place
from darkroom.bench import intents as want
from darkroom.bench.view import bench_view
from tests.kit.bench import Hand


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
    """Coating one plate while another is warmed over a flame is warned of."""
    hand = Hand()
    hand.to_stage("wash")
    hand.go(1300.0)
    hand.do(1310.0, want.FromRack("p1"))
    hand.go(1312.0)
    hand.new(1320.0)
    assert hazards.clashes(hand.bench) == ()
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
