"""Which cue is due at which instant."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.bench import clocks, repeats
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench
from darkroom.bench.cues import cues
from darkroom.process.model import ExposurePlan
from tests.kit.bench import PROCESS, Hand, changed

STAGES = PROCESS["stages"]


def heard(hand: Hand, now: float, *names: str) -> list[tuple[float, str]]:
    """Return (seconds from now, name) of the cues due in the next 30 s, of these names."""
    return [
        (round(cue.up - now, 3), cue.name) for cue in cues(hand.bench, now) if not names or cue.name in names
    ]


def said(hand: Hand, now: float, *names: str) -> list[tuple[str, ...]]:
    """Return what is said with the cues of these names due in the next 30 s."""
    return [cue.say for cue in cues(hand.bench, now) if cue.name in names]


def test_five_pips_and_the_end() -> None:
    """The last five seconds of a stage are pips, its zero is the end cue."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    now = begun + 200.0
    assert heard(hand, now, "pip", "end") == [
        (5.0, "pip"),
        (6.0, "pip"),
        (7.0, "pip"),
        (8.0, "pip"),
        (9.0, "pip"),
        (10.0, "end"),
    ]


def test_what_comes_after_an_automatic_zero_is_in_the_set() -> None:
    """From the lead-in on, start and end of a short exposure are known, without pips under 10 s."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("drain")
    hand.go(260.0, 262.0)
    found = heard(hand, 262.0, "pip", "start", "end")
    assert found == [(1.0, "pip"), (2.0, "pip"), (3.0, "pip"), (4.0, "pip"), (5.0, "start"), (13.0, "end")]


def test_the_developer_is_counted_aloud_and_flooded_at_its_zero() -> None:
    """In the developer the voice counts up; at its zero it says flood, and counts on when that is said."""
    hand = Hand()
    begun = hand.to_stage("develop")
    found = [cue for cue in cues(hand.bench, begun) if cue.up <= begun + 15.5]
    counted = [cue.say[0] for cue in found if cue.name == "say"]
    assert counted == [str(second) for second in range(2, 15)]
    assert [cue.say for cue in found if cue.name == "end"] == [("plate 1", "flood")]
    assert next(cue.say for cue in cues(hand.bench, begun + 15.1) if cue.name == "say") == ("18",)


def test_an_overrun_is_calm_for_its_patience_and_then_more_and_more_urgent() -> None:
    """A plate may wait in the bath: the overrun calls start after patience, then rise in urgency."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    zero = begun + 210.0
    assert heard(hand, zero + 1.0, "overrun") == []
    first = cues(hand.bench, zero + 59.0)
    assert [(round(c.up - zero), c.urgency) for c in first if c.name == "overrun"] == [(60, 1), (80, 1)]
    late = [c.urgency for c in cues(hand.bench, zero + 500.0) if c.name == "overrun"]
    assert late and set(late) == {3}


def test_the_wet_calls_come_at_two_minutes_half_a_minute_back_now_and_zero() -> None:
    """Wet calls: 2 min, 30 s, back now (carrying + lead-in + 15 s), past wet."""
    hand = Hand(plan=ExposurePlan(seconds=5.0), humidity=(50.0, "hand"))
    hand.to_stage("drain")
    dry = 240.0 + 600.0
    assert heard(hand, dry - 125.0, "wet_warning") == [(5.0, "wet_warning")]
    assert heard(hand, dry - 31.0, "wet_warning", "back_now", "past_wet") == [
        (1.0, "wet_warning"),
        (11.0, "back_now"),
    ]
    assert heard(hand, dry - 1.0, "past_wet") == [(1.0, "past_wet")]


def test_while_one_plate_develops_the_calls_of_others_wait_for_its_end() -> None:
    """The wash of plate 1 ends while plate 2 is developed: its call sounds a second after the water."""
    hand = Hand()
    hand.to_stage("wash")
    hand.new(400.0)
    hand.go(410.0, 430.0, 640.0, 660.0, 662.0, 664.0)
    hand.go(1280.0, 1281.0, 1285.0)
    assert hand.plate.stage.name == "develop" and hand.plate.phase == "running"
    during = [cue for cue in cues(hand.bench, 1330.0) if cue.plate == 1 and cue.name == "end"]
    assert [(cue.name, cue.up) for cue in during] == [("end", 1350.0)]
    hand.go(1301.0)
    after = [cue for cue in cues(hand.bench, 1301.0) if cue.plate == 1 and cue.name == "end"]
    assert [cue.up for cue in after] == [1302.0]


def test_the_calls_speak_what_the_hand_does() -> None:
    """Plate and verb at each zero: lift at the bath's, uncap at the lead-in's, cap at the exposure's."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    begun = hand.to_stage("sensitise")
    assert said(hand, begun + 200.0, "end") == [("plate 1", "lift")]
    assert said(hand, begun + 260.0, "overrun") == [("plate 1", "lift")] * 2
    hand.go(begun + 280.0, begun + 290.0, begun + 291.0)
    assert said(hand, begun + 291.0, "start", "end") == [("uncap",), ("plate 1", "cap")]
    hand.go(begun + 294.0, begun + 304.0, begun + 305.0)
    assert said(hand, begun + 305.0, "start", "end") == [("pour",), ("plate 1", "flood")]


def test_a_stage_by_eye_is_called_by_what_comes_after_it() -> None:
    """At the upper end of its usual time what is next is said; of a plate that clears its stage."""
    hand = Hand()
    begun = hand.to_stage("coat")
    assert [(cue.say, cue.instead) for cue in cues(hand.bench, begun + 25.0) if cue.name == "say"] == [
        (("plate 1", "sensitise"), ("coat",))
    ]
    hand = Hand()
    begun = hand.to_stage("fix")
    assert said(hand, begun + 100.0, "say") == [("plate 1", "fix")]


def test_two_minutes_are_called_however_long_the_way_back() -> None:
    """With a way back of two minutes "back now" comes first, and the other wet calls come after it."""
    hand = Hand(plan=ExposurePlan(seconds=5.0), humidity=(50.0, "hand"), carry=120.0)
    hand.to_stage("drain")
    dry = 240.0 + 600.0
    names = ("wet_warning", "back_now", "past_wet")
    assert heard(hand, dry - 145.0, *names) == [(5.0, "back_now"), (25.0, "wet_warning")]
    assert heard(hand, dry - 31.0, *names) == [(1.0, "wet_warning")]


def test_thirty_seconds_are_called_when_the_camera_is_far() -> None:
    """Timed away, with eighty seconds in reserve: back now at 80 s, and again a call at 30 s."""
    hand = Hand(plan=ExposurePlan(seconds=5.0), humidity=(50.0, "hand"), timed="away")
    hand.to_stage("drain")
    dry = 240.0 + 600.0
    assert heard(hand, dry - 85.0, "wet_warning", "back_now") == [(5.0, "back_now")]
    assert heard(hand, dry - 55.0, "wet_warning", "back_now") == [(25.0, "wet_warning")]


def test_wet_calls_that_fall_together_are_one() -> None:
    """Where the way back leaves thirty seconds, "back now" says so itself."""
    hand = Hand(plan=ExposurePlan(seconds=5.0), humidity=(50.0, "hand"), carry=10.0)
    hand.to_stage("drain")
    dry = 240.0 + 600.0
    assert said(hand, dry - 59.0, "wet_warning", "back_now") == [("plate 1", "back now", "wet 30 seconds")]


def test_a_way_back_that_takes_all_of_the_wet_time_is_called_at_once() -> None:
    """With less wet time than the way back takes, "back now" comes a second after the bath."""
    hand = Hand(plan=ExposurePlan(seconds=5.0), humidity=(50.0, "hand"), carry=900.0)
    lifted = hand.to_stage("drain")
    assert heard(hand, lifted, "wet_warning", "back_now") == [(1.0, "back_now")]


@given(wet=st.floats(5.0, 1200.0), carry=st.floats(0.0, 1200.0))
def test_no_wet_call_is_left_out_whatever_the_way_back(wet: float, carry: float) -> None:
    """Two minutes and thirty seconds are called where the bath left so much, alone or with "back now"."""
    hand = Hand(plan=ExposurePlan(seconds=5.0), wet_time=wet, carry=carry)
    lifted = hand.to_stage("drain")
    due = [cue for cue in cues(hand.bench, lifted, ahead=wet + 10.0) if "plate 1" in cue.say]
    for left, text in ((120.0, "wet 2 minutes"), (30.0, "wet 30 seconds")):
        calls = [cue for cue in due if text in cue.say]
        assert len(calls) == (1 if wet > left else 0)
        assert all(abs(lifted + wet - cue.up - left) < 5.0 for cue in calls)
    assert [cue.name for cue in due if cue.name in ("back_now", "past_wet")] == ["back_now", "past_wet"]


def test_an_assumed_wet_time_is_said_once_a_plate() -> None:
    """Shortly after the bath the wet time is said with "assumed", unless it was read or typed."""
    read = {"temperatures": {"room": (20.0, "hand")}, "humidity": (50.0, "hand")}
    told = []
    for more in ({}, read, {"wet_time": 600.0}, {"humidity": (50.0, "hand")}):
        hand = Hand(plan=ExposurePlan(seconds=5.0), **more)
        lifted = hand.to_stage("drain")
        told.append([cue.say for cue in cues(hand.bench, lifted) if "assumed" in cue.say])
        assert not [cue for cue in cues(hand.bench, lifted + 5.0) if "assumed" in cue.say]
    assert told == [[("plate 1", "wet 10 min", "assumed")], [], [], [("plate 1", "wet 10 min", "assumed")]]


def test_the_calls_of_others_wait_no_longer_than_their_patience() -> None:
    """A plate in cyanide is called fifteen seconds after its zero, though another is still developed."""
    waits = {}
    for patience in (0.0, 15.0):
        stages = [{**stage, "patience": patience} if stage["name"] == "wash" else stage for stage in STAGES]
        hand = Hand(process={**PROCESS, "stages": stages})
        hand.to_stage("wash")
        hand.new(400.0)
        hand.go(410.0, 430.0, 640.0, 660.0, 662.0, 664.0)
        hand.go(1280.0, 1281.0, 1285.0)
        found = [cue for cue in cues(hand.bench, 1289.5) if cue.plate == 1 and cue.name in ("end", "overrun")]
        waits[patience] = [(cue.name, cue.up - 1290.0) for cue in found]
    assert waits == {0.0: [], 15.0: [("end", 15.0)]}


def test_a_plate_that_is_exposed_while_another_develops_is_called() -> None:
    """Both are busy: the cap of the one is called at its instant, though the developer is on the other."""
    exposed, developed = Hand(plan=ExposurePlan(seconds=8.0)), Hand()
    exposed.to_stage("lead_in")
    developed.to_stage("develop")
    plates = {"exposed": exposed.plate, "developed": developed.plate}
    found = [cue for cue in cues(Bench(plates=plates, large="developed"), 262.0) if cue.name == "end"]
    assert [(cue.say, cue.up) for cue in found] == [
        (("plate 1", "cap"), 275.0),
        (("plate 1", "flood"), 289.0),
    ]


def test_a_wash_by_changes_is_called_and_counted() -> None:
    """Each change is said with its number and how many there are; at the wash's end stands its own call."""
    wash = {"carried": 5.0, "change": 200.0, "start": 100.0, "limit": 0.01, "lag": 300.0}
    stages = [{**stage, "wash": wash} if stage["name"] == "wash" else stage for stage in STAGES]
    hand = Hand(process={**PROCESS, "stages": stages})
    begun = hand.to_stage("wash")
    found = [cue for now in (280.0, 580.0, 880.0) for cue in cues(hand.bench, begun + now)]
    assert [(cue.up - begun, cue.say) for cue in found if cue.name == "repeat"] == [
        (300.0, ("plate 1", "change", "2 of 3")),
        (600.0, ("plate 1", "change", "3 of 3")),
    ]
    assert [cue.up - begun for cue in found if cue.name == "end"] == [900.0]


def test_a_repeated_call_without_a_plan_counts_alone() -> None:
    """In a stage by eye the tray is rocked again and again: the count is said, without how many there are."""
    repeat = {"every": 10.0, "verb": "rock"}
    stages = [{**stage, "repeat": repeat} if stage["name"] == "fix" else stage for stage in STAGES]
    hand = Hand(process={**PROCESS, "stages": stages})
    begun = hand.to_stage("fix")
    assert said(hand, begun, "repeat") == [("plate 1", "rock", str(count)) for count in (2, 3, 4)]
    assert cues(hand.bench, begun + 5.0)[0].instead == ("fix",)


def test_a_repeated_call_is_left_out_while_another_plate_is_developed() -> None:
    """The water of plate 1 is not called over the developer of plate 2."""
    repeat = {"every": 20.0, "verb": "rock"}
    stages = [{**stage, "repeat": repeat} if stage["name"] == "wash" else stage for stage in STAGES]
    washed, developed = Hand(process={**PROCESS, "stages": stages}), Hand()
    begun = washed.to_stage("wash")
    plates = {"washed": washed.plate}
    assert len([cue for cue in cues(Bench(plates=plates), begun) if cue.name == "repeat"]) == 1
    developed.to_stage("ready")
    developed.go(380.0)
    plates["developed"] = developed.plate
    assert developed.plate.phase == "lead_in"
    assert [cue for cue in cues(Bench(plates=plates), begun) if cue.name == "repeat"] == []


def test_the_turns_of_the_light_are_foretold() -> None:
    """Ten seconds into the fixer the room light is safe."""
    hand = Hand()
    begun = hand.to_stage("fix")
    assert heard(hand, begun + 1.0, "room_light") == [(9.0, "room_light")]


def test_before_a_covered_plate_comes_back_the_safelight_is_called() -> None:
    """Fifteen seconds before the exposure's zero it is safelight only."""
    hand = Hand(plan=ExposurePlan(seconds=60.0))
    hand.to_stage("drain")
    hand.go(260.0, 262.0)
    hand.zero(267.0)
    assert heard(hand, 300.0, "safelight") == [(12.0, "safelight")]


def test_a_held_plate_is_silent() -> None:
    """Nobody saw that zero: no end cue for it, ever."""
    hand = Hand()
    begun = hand.to_stage("stop")
    hand.do(begun + 60.0, want.ClockDid("slept", 50.0))
    assert heard(hand, begun + 61.0, "end", "pip", "overrun") == []


def test_the_set_does_not_change_as_time_passes() -> None:
    """The same state gives the same cues at the same instants, whenever the set is made."""
    hand = Hand(plan=ExposurePlan(steps=(4.0, 4.0, 8.0), between="run_on"))
    hand.to_stage("drain")
    hand.go(260.0, 262.0)
    first = [cue for cue in cues(hand.bench, 262.0) if 270.0 < cue.up <= 290.0]
    assert first
    assert [cue for cue in cues(hand.bench, 263.0) if 270.0 < cue.up <= 290.0] == first
    assert [round(cue.up - 267.0, 3) for cue in first if cue.name == "step"] == [pytest.approx(4.0), 8.0]


def test_a_plate_overdue_for_half_a_century_is_called_every_ten_seconds() -> None:
    """A machine without a clock of its own may begin in 1970: what is past is not counted through."""
    hand = Hand()
    hand.to_stage("sensitise")
    zero = clocks.zero(hand.plate)
    assert zero is not None
    now = zero + 1.7e9
    calls = [cue for cue in cues(hand.bench, now) if cue.name == "overrun"]
    assert [cue.urgency for cue in calls] == [3, 3, 3]
    assert [round((cue.up - zero) % 10.0, 6) for cue in calls] == [0.0, 0.0, 0.0]


def test_calls_within_a_stage_are_counted_from_the_last_one() -> None:
    """After half a century of rocking the last call and those to come are given, with their true number."""
    hand = Hand(process=changed("drain", repeat={"every": 15.0, "verb": "Rock"}))
    hand.to_stage("drain")
    state, now = hand.plate, hand.plate.since + 1.5e9 + 20.0
    calls = repeats.call_instants(state, now, now + 30.0)
    assert [k for k, _ in calls] == [100_000_001, 100_000_002, 100_000_003]
    assert [at - state.since for _, at in calls] == [k * 15.0 for k, _ in calls]
