"""Which light is safe: early to tighten, late to loosen, never white on a bare sensitive plate."""

from __future__ import annotations

import pytest

from darkroom.bench import intents as want
from darkroom.bench import light
from darkroom.bench.view import bench_view
from darkroom.process.model import ExposurePlan
from tests.kit.bench import PROCESS, Hand


def test_the_safelight_counts_from_the_strike_into_the_bath() -> None:
    """Coating is in room light, with red next said; the bath is under the safelight."""
    hand = Hand()
    hand.to_stage("coat")
    assert bench_view(hand.bench, 15.0).light == "white"
    assert bench_view(hand.bench, 15.0).red_next
    hand.go(30.0)
    assert bench_view(hand.bench, 30.0).light == "red"


def test_a_covered_plate_asks_less_after_ten_seconds_and_red_again_before_its_end() -> None:
    """The light loosens 10 s into the exposure and tightens 15 s before its zero."""
    hand = Hand(plan=ExposurePlan(seconds=60.0))
    hand.to_stage("drain")
    hand.go(260.0, 262.0)
    hand.zero(267.0)
    seen = [light.plate_light(hand.plate, 267.0 + t) for t in (0, 9.9, 10.0, 44.9, 45.0, 59.0)]
    assert seen == ["red", "red", "covered", "covered", "red", "red"]


def test_room_light_is_safe_only_ten_seconds_into_the_fixer() -> None:
    """The fixer's own light counts after 10 s of it."""
    hand = Hand()
    begun = hand.to_stage("fix")
    assert light.plate_light(hand.plate, begun + 9.9) == "red"
    assert light.plate_light(hand.plate, begun + 10.0) == "white"


def test_a_short_stage_does_not_loosen_the_light_sooner() -> None:
    """Leaving the fixer after 2 s does not make the wash's white light count at once."""
    hand = Hand()
    begun = hand.to_stage("fix")
    hand.go(begun + 1.0, begun + 1.5, begun + 1.9)
    assert light.plate_light(hand.plate, begun + 3.0) == "red"


def test_the_bench_shows_the_strictest_light_of_all_plates() -> None:
    """While one plate washes in white light, a plate in the bath makes the bench red."""
    hand = Hand()
    hand.to_stage("wash")
    hand.new(400.0)
    hand.go(410.0, 430.0)
    assert bench_view(hand.bench, 450.0).light == "red"


def test_a_ready_stage_keeps_the_stricter_of_its_own_and_the_light_before() -> None:
    """A plate that stands ready for the developer needs the safelight."""
    hand = Hand(plan=ExposurePlan(seconds=60.0))
    hand.to_stage("drain")
    hand.go(260.0)
    assert light.plate_light(hand.plate, 300.0) == "red"


@pytest.mark.parametrize(
    ("stage", "fogs"),
    [("coat", False), ("sensitise", True), ("drain", True), ("ready", True), ("lead_in", True),
     ("expose", True), ("develop", True), ("stop", True), ("fix", False), ("wash", False)],
)  # fmt: skip
def test_a_plate_is_sensitive_from_the_bath_to_the_start_of_the_fixer(stage: str, fogs: bool) -> None:
    """It is sensitive from the start of the bath, and no longer once it is in the fixer."""
    hand = Hand(plan=ExposurePlan(seconds=60.0))
    hand.to_stage(stage)
    assert light.sensitive(hand.plate) == fogs


def test_a_plate_that_stands_ready_for_the_fixer_is_still_sensitive() -> None:
    """A fixer that waits for a strike has not begun; the bath that waits for one neither."""
    stages = [
        {**stage, "starts": "on_strike"} if stage["name"] in ("sensitise", "fix") else stage
        for stage in PROCESS["stages"]
    ]
    hand = Hand(process={**PROCESS, "stages": stages})
    hand.new(0.0)
    hand.go(10.0, 30.0)
    assert (hand.plate.stage.name, hand.plate.phase) == ("sensitise", "ready")
    assert not light.sensitive(hand.plate)
    hand.go(31.0)
    for up in (240.0, 250.0, 260.0, 262.0, 270.0, 280.0):
        hand.do(up, want.Skip())
        if hand.plate.stage.name == "fix":
            break
    assert (hand.plate.stage.name, hand.plate.phase) == ("fix", "ready")
    assert light.sensitive(hand.plate)


def test_a_plate_given_up_and_a_process_without_light_are_never_sensitive() -> None:
    """A plate that is ended, or whose process says `never`, asks for no safelight."""
    hand = Hand()
    hand.to_stage("drain")
    hand.do(245.0, want.Abandon("fogged"))
    assert not light.sensitive(hand.plate)
    never = Hand(process={**PROCESS, "sensitive": "never"})
    never.to_stage("drain")
    assert not light.sensitive(never.plate)


def test_a_covered_sensitive_plate_still_needs_the_safelight() -> None:
    """While its lens is open a plate asks less of the room, and the bench still needs the safelight."""
    hand = Hand(plan=ExposurePlan(seconds=60.0))
    begun = hand.to_stage("expose")
    assert light.bench_light(hand.bench.on_bench, begun + 20.0) == "covered"
    assert light.needs_safelight(hand.bench.on_bench, begun + 20.0)
    washed = Hand()
    washed.to_stage("wash")
    assert not light.needs_safelight(washed.bench.on_bench, 410.0)
