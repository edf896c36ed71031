"""A caution among the other sounds: it gives way to all of them, and is said to its end."""

from __future__ import annotations

from darkroom.devices.sound.messages import Call
from darkroom.devices.sound.reports import CautionEnded, sound_report
from tests.kit.scheduler import Bench

SENTENCES = ("room-light-is-safe", "take-a-plate-from-the-rack")


def caution(bench: Bench) -> None:
    """Have a caution of two sentences said now."""
    bench.scheduler.post_now(Call(bench.now, "caution", None, SENTENCES))


def ended(bench: Bench) -> list[CautionEnded]:
    """Return what the tool is told of cautions."""
    reports = [sound_report(kind, what) for kind, what in bench.reports]
    return [report for report in reports if isinstance(report, CautionEnded)]


def test_a_caution_that_was_said_whole_is_reported() -> None:
    """Nothing is reported before its last sentence has ended."""
    bench = Bench()
    caution(bench)
    bench.until(100.5)
    assert bench.sounded() == ["caution says"] and ended(bench) == []
    bench.until(110)
    assert bench.sounded() == ["caution says"] * 2
    assert ended(bench) == [CautionEnded(said=True)]


def test_an_answer_comes_before_the_rest_of_a_caution() -> None:
    """A press during a caution is answered at once; the sentence that was cut off is said again whole."""
    bench = Bench()
    caution(bench)
    bench.until(100.3)
    bench.scheduler.post_now(Call(100.3, "accepted", 1, ("plate", "1", "coat")))
    bench.until(110)
    assert bench.sounded() == ["caution says", "accepted", *["accepted says"] * 3, *["caution says"] * 2]
    assert ended(bench) == [CautionEnded(said=True)]


def test_tell_comes_before_the_rest_of_a_caution() -> None:
    """What is asked for is said at once, and does not end the caution."""
    bench = Bench()
    caution(bench)
    bench.until(100.3)
    bench.scheduler.post_now(Call(100.3, "say", None, ("plate", "1")))
    bench.until(110)
    assert bench.sounded() == ["caution says", *["say says"] * 2, *["caution says"] * 2]
    assert ended(bench) == [CautionEnded(said=True)]


def test_a_repeated_call_comes_before_a_caution() -> None:
    """A change of the water is called at its instant though a caution waits; then the caution is said."""
    bench = Bench()
    bench.schedule(Call(100.3, "repeat", 1, ("change", "2")))
    caution(bench)
    bench.until(110)
    assert bench.sounded() == [*["repeat says"] * 2, *["caution says"] * 2]
    assert bench.dropped() == []


def test_a_caution_waits_for_a_gap() -> None:
    """Between pips there is no room for a sentence: it is said after them."""
    bench = Bench()
    bench.schedule(*(Call(100.2 + second, "pip", 1) for second in range(10)))
    caution(bench)
    bench.until(115)
    assert bench.sounded() == [*["pip"] * 10, *["caution says"] * 2]
    assert ended(bench) == [CautionEnded(said=True)]


def test_a_caution_that_finds_no_gap_is_reported() -> None:
    """After 20 s without a gap it is given up, and the tool is told that it was not said."""
    bench = Bench()
    bench.schedule(*(Call(100.2 + second, "pip", 1) for second in range(25)))
    caution(bench)
    bench.until(130)
    assert set(bench.sounded()) == {"pip"}
    assert ended(bench) == [CautionEnded(said=False)]


def test_a_caution_that_never_reached_the_player_is_reported() -> None:
    """A line that the player's pipe refused is one that was not said; other dropped cues are no matter."""
    lost = Call(100.0, "caution", None, SENTENCES).as_plain()
    assert sound_report("dropped", {"cue": lost, "why": "not sent"}) == CautionEnded(said=False)
    assert sound_report("dropped", {"cue": {**lost, "name": "pip"}, "why": "overlap"}) is None
