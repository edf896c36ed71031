"""What the session answers: tell changes nothing, refusals are spoken, cautions are said once."""

from __future__ import annotations

from typing import Any

from darkroom.process.model import ExposurePlan
from darkroom.session.feedback import UNSEEN
from tests.kit.bench import PROCESS, start
from tests.kit.session import KeySession

CAUTION = "Silver nitrate blinds. Goggles on."


def with_cautions(**cautions: list[str]) -> dict[str, Any]:
    """Return the trial process with these cautions at its stages."""
    stages = [{**stage, "cautions": cautions.get(stage["name"], [])} for stage in PROCESS["stages"]]
    return {**PROCESS, "stages": stages}


def test_tell_answers_and_changes_nothing() -> None:
    """Plate, stage, time and what to do are answered on the screen and by voice; nothing is written."""
    hand = KeySession()
    hand.press("space")
    hand.press("space", 10.0)
    bench, lines = hand.session.bench, len(hand.journal.events["p1"])
    hand.press("0", 30.0)
    assert hand.answered == "plate 1, sensitise, 3 min left, then lift"
    assert hand.voice.said("say")[-1] == ("plate 1", "sensitise", "3 min left", "then lift")
    assert hand.session.bench is bench
    assert len(hand.journal.events["p1"]) == lines


def test_tell_is_no_strike_for_the_large_place() -> None:
    """A press of tell leaves the instant of the last strike as it was, so no call waits for it."""
    hand = KeySession()
    hand.press("space")
    struck = hand.session.bench.struck_at
    hand.press("0", 5.0)
    assert struck is not None and hand.session.bench.struck_at == struck


def test_a_refusal_is_spoken_with_its_sound() -> None:
    """The voice says why; keys of two meanings are told aloud, a dead key by its sound alone."""
    hand = KeySession()
    hand.press("right")
    assert hand.voice.said("refused") == [("there is only this plate",)]
    hand.wait(2.0)
    hand.session.key("space")
    hand.session.key("backspace")
    hand.wait(1.0)
    hand.press("q")
    assert hand.voice.said("refused")[1:] == [("several keys at once: nothing done",), ()]
    assert hand.answered == "that key does nothing here"


def test_an_accepted_strike_is_answered_with_plate_and_stage() -> None:
    """Each step names plate and stage; before a stage under the safelight "red next" is said too."""
    hand = KeySession()
    hand.press("space")
    hand.press("space", 10.0)
    assert hand.voice.said("accepted") == [("plate 1", "coat", "red next"), ("plate 1", "sensitise")]


def test_a_change_of_the_exposure_is_spoken() -> None:
    """A third of a stop more, and the new time is said."""
    hand = KeySession(plan=ExposurePlan(seconds=8.0))
    hand.press("up")
    assert hand.voice.said("accepted") == [("exposure 10 s",)]


def test_a_caution_is_said_once() -> None:
    """While the plate is coated the bath's caution is said; once it was heard it is not said again."""
    hand = KeySession(process=with_cautions(sensitise=[CAUTION]))
    hand.press("space")
    hand.session.caution_ended(said=True)
    hand.press("space", 10.0)
    hand.wait(60.0)
    (cue,) = [cue for cue in hand.voice.played if CAUTION in cue.say]
    assert (cue.name, cue.instead) == ("caution", ("caution coat", "caution"))


def test_a_caution_that_was_not_heard_is_said_again() -> None:
    """A caution that found no gap, or of which the voice told nothing, comes again while it is true."""
    hand = KeySession(process=with_cautions(sensitise=[CAUTION]))
    hand.press("space")
    hand.session.caution_ended(said=False)
    hand.wait(6.0)
    assert hand.voice.said("caution") == [(CAUTION,)] * 2
    hand.wait(40.0)
    assert hand.voice.said("caution") == [(CAUTION,)] * 2
    hand.wait(10.0)
    assert hand.voice.said("caution") == [(CAUTION,)] * 3


def test_a_quick_hand_hears_the_last_caution_too() -> None:
    """A caution of the stage before is said in the first 20 s after it, and not later."""
    for since, said in ((10.0, [(CAUTION,)] * 2), (25.0, [(CAUTION,)])):
        hand = KeySession(process=with_cautions(coat=[CAUTION]))
        hand.press("space")
        hand.press("space")
        hand.wait(since)
        hand.session.caution_ended(said=False)
        hand.wait(6.0)
        assert hand.voice.said("caution") == said


def test_cautions_are_said_one_after_the_other() -> None:
    """The second caution of a stage follows when the first was heard, and none is due after the last."""
    second = "Lid on when the plate is out."
    hand = KeySession(process=with_cautions(sensitise=[CAUTION, second]))
    hand.press("space")
    assert hand.voice.said("caution") == [(CAUTION,)]
    hand.session.caution_ended(said=True)
    assert hand.voice.said("caution") == [(CAUTION,), (second,)]
    hand.session.caution_ended(said=True)
    assert hand.voice.said("caution") == [(CAUTION,), (second,)]


def test_no_caution_is_said_over_the_developer() -> None:
    """What is to be said of the stage after the developer is said when the developer is off."""
    hand = KeySession(process=with_cautions(stop=[CAUTION]), plan=ExposurePlan(seconds=2.0))
    for pause in (1.5, 10.0, 210.0, 20.0, 2.0, 15.0):
        hand.press("space", pause)
    hand.wait(8.0)
    plate = hand.session.bench.shown
    assert plate is not None and plate.stage.name == "develop"
    assert CAUTION not in [text for say in hand.voice.said() for text in say]
    hand.press("space", 8.0)
    assert hand.voice.said("caution") == [(CAUTION,)]


def test_a_text_is_spoken_at_once() -> None:
    """A menu's line goes to the voice as it stands, with what is said where it cannot be."""
    hand = KeySession()
    hand.session.answers.speak("Jug and pear: warm", instead="line 2")
    cue = hand.voice.played[-1]
    assert (cue.name, cue.say, cue.instead) == ("say", ("Jug and pear: warm",), ("line 2",))


def test_a_clash_of_two_plates_is_said_each_time_it_comes_about() -> None:
    """A flame burns and the next plate stands ready to be coated: it is said before the bottle is opened."""
    warning = "ether on the bench and a flame: put the flame out"
    flame = {"name": "warm", "light": "white", "ends": "by_eye", "holds": ["flame"]}
    last = PROCESS["stages"][-1]
    hand = KeySession(process={**PROCESS, "stages": [flame, last], "sensitive": "never", "wet_window": None})
    hand.press("space")
    assert hand.voice.said("caution") == []
    for times in (1, 2):
        hand.session.put_on(start(up=hand.clock.up()))
        hand.wait(6.0)
        assert hand.voice.said("caution") == [(warning,)] * times
        hand.session.caution_ended(said=True)
        hand.wait(60.0)
        assert hand.voice.said("caution") == [(warning,)] * times
        hand.session.take_off_new()
        hand.wait(6.0)


def test_what_nobody_saw_is_asked_on_the_screen_too() -> None:
    """The press after an exposure that ended in a sleep writes the question out as well."""
    hand = KeySession(plan=ExposurePlan(seconds=8.0))
    for pause in (1.5, 10.0, 210.0, 20.0, 2.0):
        hand.press("space", pause)
    hand.wait(6.0)
    assert hand.session.bench.shown is not None and hand.session.bench.shown.phase == "running"
    hand.clock.move(60.0, asleep=True)
    hand.press("space")
    answer = hand.session.answer
    assert answer is not None and answer.written
    assert answer.text == f"plate 1: {UNSEEN}"
