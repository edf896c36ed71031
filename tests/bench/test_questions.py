"""What the bench asks before a strike does what is seldom meant, and what answers it."""

from __future__ import annotations

import pytest

from darkroom.bench import clocks, instruction, questions
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.process.model import ExposurePlan
from tests.kit.bench import Hand, changed, kinds


def in_bath() -> tuple[Hand, float]:
    """Return a plate in the bath, which takes 210 s, and the instant it went in."""
    hand = Hand()
    return hand, hand.to_stage("sensitise")


def test_one_strike_does_not_lift_a_plate_from_the_bath() -> None:
    """Two seconds into the bath a strike asks, with what is missing and what a second one does."""
    hand, begun = in_bath()
    asked = hand.go(begun + 2.0)
    assert (kinds(asked), asked.refusal) == (["Refused"], "3:28 short: again to lift")
    (line,) = hand.lines["p1"][-1:]
    assert (line.asks, line.stage, line.intent) == ("short", "sensitise", "go")
    assert hand.plate.stage.name == "sensitise" and hand.plate.wet_from is None


@pytest.mark.parametrize(
    ("after", "taken"), [(0.5, False), (0.99, False), (1.0, True), (8.0, True), (8.1, False), (60.0, False)]
)
def test_a_question_is_answered_from_one_to_eight_seconds_after_it(after: float, taken: bool) -> None:
    """Sooner the strike belongs to the one that was asked about, later it is asked anew."""
    hand, begun = in_bath()
    hand.go(begun + 20.0)
    answered = hand.go(begun + 20.0 + after)
    assert (answered.refusal is None) == taken
    assert (hand.plate.stage.name == "drain") == taken
    if taken:
        assert hand.plate.done[-1].how == "short"


def test_a_strike_in_the_first_second_of_a_question_writes_nothing() -> None:
    """A bounce after the question leaves no line, and the question stands from its first instant."""
    hand, begun = in_bath()
    hand.go(begun + 20.0)
    assert kinds(hand.go(begun + 20.6)) == []
    assert hand.go(begun + 21.0).refusal is None


def test_an_undo_answers_no_and_takes_nothing_back() -> None:
    """The bath goes on; the next strike is asked again, and the next undo takes back again."""
    hand, begun = in_bath()
    hand.go(begun + 20.0)
    answer = hand.do(begun + 22.0, want.Undo())
    assert (kinds(answer), answer.refusal) == (["Refused"], None)
    assert (hand.plate.stage.name, hand.plate.since) == ("sensitise", begun)
    assert hand.go(begun + 24.0).refusal is not None
    hand.do(begun + 40.0, want.Undo())
    assert hand.plate.stage.name == "coat"


@pytest.mark.parametrize(("left", "asked"), [(22.0, True), (20.0, False), (4.0, False), (-1.0, False)])
def test_a_timed_stage_near_its_end_is_ended_unasked(left: float, asked: bool) -> None:
    """With no more than a tenth of its time left a stage is as good as done."""
    hand, begun = in_bath()
    assert (hand.go(begun + 210.0 - left).refusal is not None) == asked


def test_with_five_seconds_left_nothing_is_asked() -> None:
    """Of a stage of 20 s the last 5 s are free, though that is a quarter of it."""
    for at, asked in ((14.9, True), (15.0, False)):
        hand = Hand(process=changed("wash", time=20.0))
        begun = hand.to_stage("wash")
        assert (hand.go(begun + at).refusal is not None) == asked


def test_a_bounce_of_the_asked_strike_ends_nothing() -> None:
    """In the first second of a question a strike is ignored, though by then nothing would be asked."""
    hand = Hand(process=changed("wash", time=20.0))
    begun = hand.to_stage("wash")
    hand.go(begun + 14.8)
    assert hand.go(begun + 15.2).refusal is not None
    assert hand.plate.stage.name == "wash"


def test_the_developer_is_ended_unasked_at_any_time() -> None:
    """The plate is judged by eye: water goes on at the strike."""
    hand = Hand()
    begun = hand.to_stage("develop")
    assert hand.go(begun + 3.0).refusal is None
    assert hand.plate.done[-1].how == "strike"


def test_a_stage_that_its_file_calls_free_is_ended_unasked() -> None:
    """`early: free` takes the question from a timed stage, `early: ask` gives it to the developer."""
    hand = Hand(process=changed("sensitise", early="free"))
    assert hand.go(hand.to_stage("sensitise") + 20.0).refusal is None
    hand = Hand(process=changed("develop", early="ask"))
    assert hand.go(hand.to_stage("develop") + 3.0).refusal == "0:12 short: again to flood"


@pytest.mark.parametrize(("seconds", "asked"), [(5.0, True), (9.9, True), (10.0, False), (45.0, False)])
def test_a_suspiciously_early_clearing_is_asked_about(seconds: float, asked: bool) -> None:
    """The usual range begins at 30 s: sooner than a third of that a second strike is needed."""
    hand = Hand()
    begun = hand.to_stage("fix")
    assert (hand.go(begun + seconds).refusal is not None) == asked
    if asked:
        hand.go(begun + seconds + 2.0)
        assert hand.plate.cleared_at == begun + seconds + 2.0


def test_the_last_five_seconds_of_fixing_are_free() -> None:
    """Cleared at 45 s, so 90 s in all: at 85 s a strike ends the fixing, at 84 s it asks."""
    for at, asked in ((84.0, True), (85.0, False)):
        hand = Hand()
        begun = hand.to_stage("fix")
        hand.go(begun + 45.0)
        assert (hand.go(begun + at).refusal is not None) == asked


def test_a_held_stage_is_never_asked_about() -> None:
    """Nobody knows how long it ran: the strike ends it."""
    hand = Hand(process=changed("wash", ends="at_zero", time=100.0))
    begun = hand.to_stage("wash")
    hand.do(begun + 300.0, want.ClockDid("slept", 290.0))
    assert hand.plate.held
    assert hand.go(begun + 301.0).refusal is None


def test_a_question_of_one_stage_answers_nothing_in_the_next() -> None:
    """A strike after the stage went on by itself finds no open question."""
    hand = Hand(process=changed("stop", ends="on_time", time=60.0))
    begun = hand.to_stage("stop")
    hand.go(begun + 50.0)  # 10 s short
    hand.do(begun + 52.0, want.Skip())
    assert hand.plate.stage.name == "fix"
    assert hand.go(begun + 53.0).refusal == "fix: cleared already? Again if it has"


def test_replaying_a_question_gives_the_same_state() -> None:
    """The question, its answer and the stage that was ended short are the fold of the lines."""
    hand, begun = in_bath()
    hand.go(begun + 20.0)
    assert hand.replayed() == hand.bench.plates["p1"]
    hand.go(begun + 22.0)
    assert hand.replayed() == hand.bench.plates["p1"]


def test_a_change_of_water_is_noted_and_the_wash_goes_on() -> None:
    """After a call to change a strike notes the change once; then, and before, it asks."""
    wash = {"start": 200.0, "limit": 0.2, "lag": 120.0, "carried": 5.0, "change": 200.0}
    hand = Hand(process=changed("wash", time=None, wash=wash))
    begun = hand.to_stage("wash")
    assert clocks.planned(hand.plate) == 900.0
    assert hand.go(begun + 60.0).refusal == "14:00 short: again to dry"
    noted = hand.go(begun + 125.0)
    assert (kinds(noted), noted.refusal) == (["Acknowledged"], None)
    line = hand.lines["p1"][-1]
    assert (line.what, line.stage, line.count) == ("change", "wash", 2)
    assert hand.plate.stage.name == "wash"
    assert hand.go(begun + 130.0).refusal is not None
    assert kinds(hand.go(begun + 240.0 + 19.0)) == ["Acknowledged"]
    assert hand.lines["p1"][-1].count == 3
    assert hand.go(begun + 360.0 + 20.0).refusal is not None
    assert hand.replayed() == hand.bench.plates["p1"]


def test_a_change_called_after_the_question_takes_the_strike() -> None:
    """A press just after the call notes the change, also while the wash was asked about."""
    wash = {"start": 200.0, "limit": 0.2, "lag": 120.0, "carried": 5.0, "change": 200.0}
    hand = Hand(process=changed("wash", time=None, wash=wash))
    begun = hand.to_stage("wash")
    assert hand.go(begun + 117.0).refusal == "13:03 short: again to dry"
    assert questions.is_open(hand.plate, begun + 119.9) is not None
    assert questions.is_open(hand.plate, begun + 120.1) is None
    assert kinds(hand.go(begun + 121.0)) == ["Acknowledged"]
    assert hand.go(begun + 123.0).refusal == "12:57 short: again to dry"
    assert hand.plate.stage.name == "wash" and hand.replayed() == hand.plate


def test_the_text_of_a_question_is_over_with_the_question() -> None:
    """From the call of a change, or 8 s after it was asked, it is not on the screen."""
    wash = {"start": 200.0, "limit": 0.2, "lag": 120.0, "carried": 5.0, "change": 200.0}
    hand = Hand(process=changed("wash", time=None, wash=wash))
    begun = hand.to_stage("wash")
    text = hand.go(begun + 117.0).refusal
    assert text is not None
    assert not questions.is_over(hand.plate, text, begun + 119.9)
    assert questions.is_over(hand.plate, text, begun + 120.1)
    assert not questions.is_over(hand.plate, "it went on by itself", begun + 120.1)
    text = hand.go(begun + 150.0).refusal
    assert text is not None
    assert not questions.is_over(hand.plate, text, begun + 158.0)
    assert questions.is_over(hand.plate, text, begun + 158.1)


def test_an_undo_after_that_change_was_called_still_answers_no() -> None:
    """Within 8 s of the question an undo takes nothing back, whatever was called since."""
    wash = {"start": 200.0, "limit": 0.2, "lag": 120.0, "carried": 5.0, "change": 200.0}
    hand = Hand(process=changed("wash", time=None, wash=wash))
    begun = hand.to_stage("wash")
    hand.go(begun + 117.0)
    assert kinds(hand.do(begun + 121.0, want.Undo())) == ["Refused"]
    assert (hand.plate.stage.name, hand.plate.since) == ("wash", begun)


def test_an_exposure_whose_end_nobody_saw_claims_no_time() -> None:
    """After a sleep over the end of the plan nobody knows how long the lens was open, until it is told."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.do(330.0, want.ClockDid("slept", 60.0))
    hand.go(331.0)
    ended = hand.lines["p1"][-1]
    assert (ended.seconds, ended.planned, ended.exposed, ended.strips, ended.unseen) == (
        64.0,
        8.0,
        None,
        None,
        True,
    )
    assert hand.plate.done[-1].unseen and hand.plate.done[-1].exposed is None
    assert hand.do(340.0, want.TellOpen(12.0)).refusal is None
    assert hand.plate.done[-1].exposed == 12.0
    assert hand.replayed() == hand.bench.plates["p1"]


def test_a_known_exposure_is_not_told_again() -> None:
    """Where the end was seen there is nothing to tell."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.zero(275.0)
    assert hand.do(280.0, want.TellOpen(12.0)).refusal == "how long the lens was open is known"


def test_an_exposure_away_without_a_plan_claims_nothing() -> None:
    """The strike says "now back"; what the plate got is not known."""
    hand = Hand(timed="away")
    hand.to_stage("drain")
    hand.go(260.0, 380.0)
    ended = hand.lines["p1"][-1]
    assert (ended.how, ended.planned, ended.exposed, ended.unseen) == ("told", None, None, True)
    hand.do(390.0, want.TellOpen(20.0))
    assert hand.plate.done[-1].exposed == 20.0


@pytest.mark.parametrize("crash", [True, False])
def test_a_crash_in_the_lead_in_of_an_added_exposure_keeps_what_was_given(crash: bool) -> None:
    """8 s given, 5 s to be added: back after the lead-in a strike opens for 5 s more, 13 s in all."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.zero(275.0)
    hand.do(280.0, want.AddExposure(5.0))
    back = want.CameBack("p1", 58.0, "up", "boot") if crash else want.ClockDid("slept", 58.0)
    hand.do(340.0, back)
    assert (hand.plate.stage.name, hand.plate.phase) == ("expose", "ready")
    again = hand.go(342.0)
    (line,) = again.events[0][1]
    assert (kinds(again), line.part, line.planned) == (["LeadInStarted"], 2, 5.0)
    hand.zero(347.0)
    hand.zero(352.0)
    assert (hand.plate.stage.name, hand.lines["p1"][-1].exposed) == ("develop", 13.0)
    assert hand.replayed() == hand.bench.plates["p1"]


def test_a_struck_start_is_not_an_automatic_one() -> None:
    """A strike in the lead-in starts the exposure; a strike 0.8 s later caps the lens."""
    hand = Hand()
    hand.to_stage("ready")
    hand.go(262.0, 263.0)
    assert hand.go(263.8).refusal is None
    assert hand.plate.done[-1].seconds == pytest.approx(0.8)


def test_what_a_torn_journal_lost_of_its_last_cause_is_written_on_return() -> None:
    """A journal that ends with `stage_ended` gets the start of the stage that began at that instant."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    lost = hand.lines["p1"].pop()
    torn = hand.replayed()
    hand.bench = type(hand.bench)(plates={"p1": torn}, large="p1")
    hand.do(begun + 60.0, want.CameBack("p1", 60.0, "up", "boot"))
    restored, resumed = hand.lines["p1"][-2:]
    assert restored == lost and type(resumed).__name__ == "Resumed"
    assert (hand.plate.stage.name, hand.plate.since) == ("sensitise", begun)
    assert hand.replayed() == hand.plate


def test_the_end_of_a_rinse_that_protects_is_not_moved_before_its_least_time() -> None:
    """`earlier` stops where the water before cyanide would have been too short."""
    from tests.kit.bench import CYANIDE

    hand = Hand(process=CYANIDE)
    begun = hand.to_stage("stop") + 20.0
    hand.zero(begun)
    hand.go(begun + 31.0, begun + 33.0)
    hand.do(begun + 34.0, want.Earlier())
    assert hand.plate.done[-1].seconds == 30.0
    assert hand.do(begun + 36.0, want.Earlier()).refusal is not None


def test_a_sleep_over_a_step_that_runs_on_leaves_the_strips_unknown() -> None:
    """Nobody called the next strip at 2 s: what each strip got is unknown."""
    hand = Hand(plan=ExposurePlan(steps=(2.0, 8.0), between="run_on"))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.do(270.0, want.ClockDid("slept", 2.0))
    hand.zero(277.0)
    ended = next(line for line in reversed(hand.lines["p1"]) if isinstance(line, ev.StageEnded))
    assert (ended.unseen, ended.exposed, ended.strips) == (True, None, None)


@pytest.mark.parametrize(("slept", "seen"), [(3.0, False), (0.5, True)])
def test_a_sleep_over_the_end_of_a_step_leaves_what_it_got_unknown(slept: float, seen: bool) -> None:
    """Of two steps with a strike between, the first ended in a sleep: nobody called the cap for it."""
    hand = Hand(plan=ExposurePlan(steps=(2.0, 4.0), between="strike"))
    hand.to_stage("ready")
    hand.go(262.0)
    hand.zero(267.0)
    hand.do(270.0, want.ClockDid("slept", slept))
    hand.go(275.0)
    hand.zero(279.0)
    ended = next(line for line in reversed(hand.lines["p1"]) if isinstance(line, ev.StageEnded))
    assert (ended.unseen, ended.exposed) == ((None, 6.0) if seen else (True, None))
    assert ended.strips == ((2.0, 6.0) if seen else None)
    assert hand.replayed() == hand.plate


def test_the_question_counts_on_and_ends_with_the_stage() -> None:
    """Its text says what is left now; at zero the call takes its place, on the screen and for the strike."""
    hand = Hand(process=changed("wash", time=20.0))
    begun = hand.to_stage("wash")
    hand.go(begun + 14.0)
    assert instruction.question(hand.plate, begun + 14.0) == "0:06 short: again to dry"
    assert instruction.question(hand.plate, begun + 17.5) == "0:03 short: again to dry"
    assert instruction.what_next(hand.plate, begun + 17.5) == "take back answers no"
    assert instruction.question(hand.plate, begun + 20.5) is None
    assert instruction.what_next(hand.plate, begun + 20.5) == "then dry"
    assert instruction.large_word(hand.plate, begun + 20.5).text == "dry"
    hand.go(begun + 21.0)
    assert (hand.plate.racked, hand.plate.done[-1].how) == (True, "strike")
