"""What to do at each moment: the large word, the large time, a sentence that is true at that very moment."""

from __future__ import annotations

from typing import Any

import pytest

from darkroom.bench import intents as want
from darkroom.bench.view import PlateView, plate_view
from darkroom.process.model import ExposurePlan
from tests.kit.bench import PROCESS, Hand


def seen(stage: str, now: float, **more: Any) -> PlateView:
    """Return the plate brought to a stage of the trial process, as it is seen at `now`."""
    hand = Hand(**{"plan": ExposurePlan(seconds=8.0), **more})
    if stage == "new":
        hand.new(0.0)
    else:
        hand.to_stage(stage)
    return plate_view(hand.plate, now)


def with_stage(name: str, **members: Any) -> dict[str, Any]:
    """Return the trial process with members of one stage changed."""
    stages = [{**stage, **members} if stage["name"] == name else stage for stage in PROCESS["stages"]]
    return {**PROCESS, "stages": stages}


@pytest.mark.parametrize(
    ("stage", "now", "word", "due", "moment", "said"),
    [
        ("new", 1.0, "coat", False, "ready", "Press to start coat."),
        ("coat", 20.0, "coat", False, "running", "Press when coat is done."),
        ("coat", 45.0, "sensitise", True, "due", "Over the usual 0:10 to 0:30: press when it is done."),
        ("sensitise", 100.0, "sensitise", False, "running", "Leave it in. Lift at the call."),
        ("sensitise", 240.0, "lift", True, "due", "Ready to lift. Press, then lift."),
        ("drain", 250.0, "drain", False, "running", "Press when drain is done."),
        ("ready", 261.0, "expose", False, "ready", "Press, then uncap at zero."),
        ("lead_in", 262.5, "uncap", True, "ready", "Uncap at zero."),
        ("expose", 265.0, "expose", False, "running", "Cap on at zero. A press ends it before."),
        ("expose", 266.0, "cap", True, "due", "Cap on at zero. A press ends it before."),
        ("exposed", 271.0, "develop", False, "ready", "Press, then pour at zero."),
        ("lead_in 2", 273.0, "pour", True, "ready", "Pour at zero."),
        ("develop", 280.0, "develop", False, "running", "Keep it moving. Press as you flood."),
        ("develop", 289.5, "flood", True, "due", "Time to flood. Press as you flood."),
        ("stop", 300.0, "stop", False, "running", "It goes on by itself at zero: fix."),
        ("stop", 306.0, "fix", True, "due", "It goes on by itself at zero: fix."),
        ("fix", 311.0, "fix", True, "running", "Fix now."),
        ("fix", 313.0, "fix", False, "running", "Press when it has cleared."),
        ("fix", 440.0, "fix", False, "running", "Over the usual 0:30 to 2:00: press when it has cleared."),
        ("wash", 400.0, "wash", False, "running", "At zero: press, then dry."),
        ("wash", 1300.0, "dry", True, "due", "Wash is done. Press, then dry."),
    ],
)
def test_word_and_sentence_are_those_of_the_moment(
    stage: str, now: float, word: str, due: bool, moment: str, said: str
) -> None:
    """The verb while the hand is due, the stage otherwise; nothing is said that is not so yet."""
    view = seen(stage, now)
    assert (word, due, moment, said) == (view.word.text, view.word.due, view.moment, view.do)


def test_after_its_zero_the_cap_is_asked_for_two_seconds_more() -> None:
    """The exposure has gone on to the developer by itself: CAP stands for 2 s, then DEVELOP, hollow."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.zero(275.0)
    seen_at = {now: plate_view(hand.plate, now) for now in (275.5, 276.9, 277.1)}
    assert [view.word.text for view in seen_at.values()] == ["cap", "cap", "develop"]
    assert [view.do for view in seen_at.values()][:2] == ["Cap on now."] * 2


def test_what_the_file_says_of_the_zero_is_due_now_after_it() -> None:
    """The sentence for the last seconds stands 2 s longer, as what is to be done now."""
    hints = {"ready": "Slide out. Press.", "due": "Cap on at zero, then slide in."}
    hand = Hand(plan=ExposurePlan(seconds=8.0), process=with_stage("expose", hints=hints))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    assert plate_view(hand.plate, 271.0).do == "Cap on at zero, then slide in."
    hand.zero(275.0)
    assert plate_view(hand.plate, 276.0).do == "Cap on now, then slide in."


def test_an_exposure_without_a_time_never_speaks_of_a_zero() -> None:
    """Ready, it is to be uncapped after its lead-in; running, capping it ends it."""
    assert seen("ready", 261.0, plan=None).do == "Press, then uncap at zero."
    view = seen("expose", 270.0, plan=None)
    assert (view.word.text, view.do) == ("expose", "Cap on ends it: press as you cap.")


@pytest.mark.parametrize(
    ("now", "stage", "said"),
    [(31.0, "sensitise", "In."), (100.0, "sensitise", "Leave it in."), (243.0, "sensitise", "Lift it.")],
)
def test_the_files_sentences_are_said_at_their_moments(now: float, stage: str, said: str) -> None:
    """Ready, running and due each have the sentence that the process file gives them."""
    hints = {"ready": "In.", "running": "Leave it in.", "due": "Lift it."}
    process = with_stage("sensitise", hints=hints, hint="Leave it in.", starts="on_strike")
    hand = Hand(process=process)
    hand.new(0.0)
    hand.go(10.0, 30.0)
    if now > 32.0:
        hand.go(32.0)
    assert plate_view(hand.plate, now).do == said


def test_in_a_lead_in_nobody_is_asked_to_strike() -> None:
    """The ready sentence is said in the lead-in too, but not one that asks for the strike just made."""
    asks = with_stage("expose", hint="Slide out. Strike, then uncap at the call.")
    assert seen("ready", 261.0, process=asks).do == "Slide out. Strike, then uncap at the call."
    assert seen("lead_in", 263.0, process=asks).do == "Uncap at zero."
    plain = with_stage("expose", hint="Uncap at the call.")
    assert seen("lead_in", 263.0, process=plain).do == "Uncap at the call."


@pytest.mark.parametrize(
    ("stage", "now", "shape", "seconds"),
    [
        ("sensitise", 100.0, "down", 140.0),
        ("drain", 250.0, "wet", 590.0),
        ("ready", 261.0, "wet", 579.0),
        ("lead_in", 263.0, "lead_in", 4.0),
        ("expose", 264.0, "down", 7.0),
        ("exposed", 271.0, "wet", 569.0),
        ("exposed", 860.0, "past_wet", 20.0),
        ("develop", 280.0, "down", 9.0),
        ("fix", 330.0, "up", 20.0),
    ],
)
def test_the_wet_time_is_large_unless_a_lead_in_or_the_lens_counts(
    stage: str, now: float, shape: str, seconds: float
) -> None:
    """Between bath and developer what is left of the wet time is the large time; past it, by how much."""
    large = seen(stage, now).large_time
    assert (large.shape, round(large.seconds)) == (shape, seconds)


def test_the_wet_time_says_assumed_until_room_and_humidity_are_read() -> None:
    """A temperature alone is not enough; a time that was typed is no assumption."""
    hand = Hand()
    hand.to_stage("drain")

    def assumed() -> bool:
        wet = plate_view(hand.plate, 250.0).wet
        assert wet is not None
        return wet.assumed

    assert assumed()
    hand.do(245.0, want.ReadTemperature("room", 20.0, "hand"))
    assert assumed()
    hand.do(246.0, want.ReadHumidity(50.0, "hand"))
    assert not assumed()


def test_a_question_stands_while_it_can_be_answered() -> None:
    """A strike that would lift too early asks, with the time still missing; after 8 s it is gone."""
    hand = Hand()
    hand.to_stage("sensitise")
    assert hand.go(100.0).refusal == "2:20 short: again to lift"
    asked = plate_view(hand.plate, 104.0)
    assert (asked.question, asked.then) == ("2:16 short: again to lift", "take back answers no")
    assert plate_view(hand.plate, 108.5).question is None


def test_a_call_to_change_the_water_is_the_large_word_until_it_is_noted() -> None:
    """CHANGE, with its number, from the call on; WASH again once a strike has noted it."""
    wash = {"carried": 5.0, "change": 200.0, "start": 200.0, "limit": 0.2, "lag": 120.0}
    hand = Hand(process=with_stage("wash", time=None, wash=wash))
    begun = hand.to_stage("wash")
    assert plate_view(hand.plate, begun + 119.0).word.text == "wash"
    called = plate_view(hand.plate, begun + 121.0)
    assert (called.word.text, called.word.due) == ("change", True)
    assert called.do.startswith("Change: 2 of ")
    hand.go(begun + 125.0)
    assert plate_view(hand.plate, begun + 126.0).word.text == "wash"


def test_an_open_question_is_the_large_word() -> None:
    """What a second strike would do is asked in large letters as long as it would be answered."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    hand.go(begun + 20.0)
    assert plate_view(hand.plate, begun + 21.0).word.text == "lift?"
    assert plate_view(hand.plate, begun + 28.1).word.text == "sensitise"[:9]
    hand.go(begun + 205.0 - 30.0)
    assert plate_view(hand.plate, begun + 210.0).word.text == "lift"
    fixing = Hand()
    begun = fixing.to_stage("fix")
    fixing.go(begun + 3.0)
    assert plate_view(fixing.plate, begun + 4.0).word.text == "cleared?"
    wet = Hand()
    wet.to_stage("ready")
    wet.new(300.0)
    wet.go(303.0)
    assert plate_view(wet.plate, 304.0).word.text == "new?"
