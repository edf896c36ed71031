"""Which sound has the voice: overlaps, waiting, words in the gaps, revisions, answers to a strike."""

from __future__ import annotations

import math
from array import array

from darkroom.devices.sound.cue_names import RATE
from darkroom.devices.sound.messages import Call
from darkroom.devices.sound.sound_files import Library
from tests.kit.scheduler import Bench


def test_cues_sound_when_they_are_due() -> None:
    """Each cue of a set begins at its instant, whatever the order they were named in."""
    bench = Bench()
    bench.schedule(Call(103.0, "end", 1), Call(101.0, "pip", 1), Call(102.0, "pip", 1))
    bench.until(110)
    assert bench.diary == [(101.0, "pip"), (102.0, "pip"), (103.0, "end")]


def test_a_newer_set_replaces_the_older() -> None:
    """What the newer set does not name any more is not sounded."""
    bench = Bench()
    bench.schedule(Call(101.0, "pip", 1), Call(102.0, "end", 1))
    bench.until(101.5)
    bench.schedule(Call(104.0, "end", 1))
    bench.until(110)
    assert bench.diary == [(101.0, "pip"), (104.0, "end")]


def test_an_older_revision_changes_nothing() -> None:
    """A set that arrives with a lower revision than the present one is passed over."""
    bench = Bench()
    bench.scheduler.post_set(2, 100.0, [Call(101.0, "pip", 1)])
    bench.scheduler.post_set(1, 100.0, [Call(101.0, "end", 1)])
    bench.until(105)
    assert bench.sounded() == ["pip"]


def test_a_renewed_set_repeats_nothing() -> None:
    """A cue that has sounded is not sounded again because the set is sent again."""
    bench = Bench()
    cues = [Call(101.0, "pip", 1), Call(102.0, "pip", 1)]
    bench.schedule(*cues)
    bench.until(101.05)
    bench.schedule(*cues)
    bench.until(101.3)
    bench.schedule(*cues)
    bench.until(105)
    assert bench.diary == [(101.0, "pip"), (102.0, "pip")]


def test_a_call_that_moves_a_little_while_it_sounds_is_the_same_call() -> None:
    """A zero that a temperature moved by a tenth of a second just after its call is not called twice."""
    bench = Bench()
    bench.schedule(Call(101.0, "end", 1))
    bench.until(101.01)
    bench.schedule(Call(101.1, "end", 1))
    bench.until(105)
    assert bench.diary == [(101.0, "end")]


def test_two_cues_of_one_set_that_lie_close_are_two() -> None:
    """Two equal cues 0.3 s apart in one set are both sounded."""
    bench = Bench()
    cues = [Call(101.0, "pip", 1), Call(101.3, "pip", 1)]
    bench.schedule(*cues)
    bench.until(101.1)
    bench.schedule(*cues)
    bench.until(105)
    assert bench.diary == [(101.0, "pip"), (101.3, "pip")]


def test_a_sounding_cue_that_is_taken_back_falls_silent() -> None:
    """A cue that has begun and is due after the new set's beginning, but not in it, is cut off."""
    bench = Bench()
    bench.schedule(Call(101.0, "end", 1, ("1", "fix")))
    bench.until(101.05)
    bench.revision += 1
    bench.scheduler.post_set(bench.revision, 100.9, [])
    bench.until(101.06)
    assert bench.scheduler.playing is None
    bench.until(105)
    assert bench.sounded() == ["end"]


def test_the_higher_rank_cuts_the_lower() -> None:
    """The end of a stage is sounded at its time though an overrun call of another plate sounds."""
    bench = Bench()
    bench.schedule(Call(101.0, "overrun", 1, urgency=3), Call(101.3, "end", 2))
    bench.until(105)
    assert bench.diary == [(101.0, "overrun"), (101.3, "end")]
    assert bench.dropped() == [("overrun", "overlap")]


def test_a_cue_of_lower_rank_waits_its_turn() -> None:
    """The light's cue that falls into the last of another is sounded right after it."""
    bench = Bench()
    bench.schedule(Call(101.0, "start", 1), Call(101.4, "safelight"))
    bench.until(105)
    assert bench.sounded() == ["start", "safelight"]
    assert abs(bench.diary[1][0] - 101.6) < 0.005
    assert bench.dropped() == []


def test_a_cue_that_would_wait_too_long_is_dropped_and_told() -> None:
    """A tick that would come late tells a wrong second: it is left out and reported."""
    bench = Bench()
    bench.schedule(Call(101.0, "end", 1), Call(101.2, "pip", 2))
    bench.until(105)
    assert bench.sounded() == ["end"]
    assert bench.dropped() == [("pip", "overlap")]


def test_two_ends_at_once_are_both_told_by_voice() -> None:
    """Of two calls at the same instant one has no room for its sound; the words of both are said."""
    bench = Bench()
    bench.schedule(Call(101.0, "end", 1, ("1", "fix")), Call(101.0, "end", 2, ("2", "wash")))
    bench.until(108)
    assert bench.sounded().count("end says") == 4
    assert bench.dropped() == [("end", "overlap")]


def test_words_follow_their_cue() -> None:
    """The words begin after the cue has ended, one after the other."""
    bench = Bench()
    bench.schedule(Call(101.0, "end", 1, ("1", "lift")))
    bench.until(105)
    assert bench.sounded() == ["end", "end says", "end says"]
    assert bench.diary[1][0] >= 101.0 + 0.7


def test_no_word_is_begun_that_would_run_into_the_next_cue() -> None:
    """Between two ticks only as much is said as fits: every tick is heard at its time."""
    bench = Bench()
    bench.schedule(
        Call(100.5, "overrun", 2, ("2", "wash"), 1),
        *(Call(100.0 + second, "pip", 1) for second in (1, 2, 3, 4)),
    )
    bench.until(108)
    pips = [at for at, name in bench.diary if name == "pip"]
    assert pips == [101.0, 102.0, 103.0, 104.0]
    assert bench.sounded().count("overrun says") == 2
    library = Library()
    longest = max(len(word) for word in library.words(["2", "wash"])) / RATE
    for at, name in bench.diary:
        if name == "overrun says":
            assert all(at + longest < pip + 1e-6 or at > pip for pip in pips)


def test_a_word_cut_off_by_a_strike_elsewhere_is_said_again() -> None:
    """A refusal breaks into a word; the word is said again after it."""
    bench = Bench()
    bench.schedule(Call(101.0, "past_wet", 1, ("past wet",)))
    bench.until(102.5)
    assert bench.diary[-1][1] == "past_wet says"
    bench.scheduler.post_now(Call(bench.now, "refused"))
    bench.until(106)
    assert bench.sounded() == ["past_wet", "past_wet says", "refused", "past_wet says"]


def test_a_strike_ends_the_call_of_its_plate() -> None:
    """The call of the plate that was struck, and its words, fall silent; the answer sounds at once."""
    bench = Bench()
    bench.schedule(Call(101.0, "end", 1, ("1", "water")))
    bench.until(101.2)
    bench.scheduler.post_now(Call(bench.now, "accepted", 1))
    bench.until(105)
    assert bench.diary == [(101.0, "end"), (101.2, "accepted")]


def test_a_strike_leaves_the_call_of_another_plate() -> None:
    """The call of another plate is sounded to its end, and its words are said after the answer's sound."""
    bench = Bench()
    bench.schedule(Call(101.0, "end", 2, ("2",)))
    bench.until(101.5)
    bench.scheduler.post_now(Call(bench.now, "accepted", 1))
    bench.until(105)
    assert bench.sounded() == ["end", "accepted", "end says"]


def test_a_new_answer_takes_the_place_of_the_last() -> None:
    """Two quick strikes: the words of the first answer are not said into the second."""
    bench = Bench()
    bench.scheduler.post_now(Call(100.0, "accepted", 1, ("1", "drain")))
    bench.until(100.4)
    bench.scheduler.post_now(Call(100.4, "accepted", 1, ("1", "expose")))
    bench.until(105)
    words = [at for at, name in bench.diary if name == "accepted says"]
    assert len(words) == 3
    assert words[0] < 100.4 < words[1]


def test_a_late_cue_is_dropped_and_told() -> None:
    """A cue more than half a second late says nothing true: it is dropped and reported."""
    bench = Bench()
    bench.scheduler.post_set(1, 99.0, [Call(99.3, "end", 1), Call(99.7, "end", 2)])
    bench.until(105)
    assert bench.sounded() == ["end"]
    assert bench.dropped() == [("end", "late")]
    assert [kind for kind, _ in bench.reports] == ["dropped", "late"]


def test_a_count_that_has_no_room_is_left_out() -> None:
    """A counted second is said at its time or not at all."""
    bench = Bench()
    bench.schedule(
        Call(101.0, "past_wet", 2), Call(101.2, "say", 1, ("7",)), Call(103.0, "say", 1, ("9",))
    )  # fmt: skip
    bench.until(106)
    assert bench.diary == [(101.0, "past_wet"), (103.0, "say says")]
    assert bench.dropped() == [("say", "no room for the words")]


def test_a_count_comes_before_other_words() -> None:
    """The stage's name, which does not fit before the first counted second, gives way to it."""
    bench = Bench()
    counts = [Call(101.0 + second, "say", 1, (str(second),)) for second in (1, 2, 3)]
    bench.schedule(Call(101.0, "start", 1, ("sensitise",)), *counts)
    bench.until(110)
    assert [at for at, name in bench.diary if name == "say says"] == [102.0, 103.0, 104.0]


def test_a_cue_that_waited_is_not_called_late() -> None:
    """A cue that let another finish first is no fault to be told."""
    bench = Bench()
    bench.schedule(Call(101.0, "start", 1), Call(101.2, "safelight"))
    bench.until(105)
    assert bench.sounded() == ["start", "safelight"]
    assert bench.reports == []


def test_silent_cues_keep_their_words() -> None:
    """A cue that is silent by setting has no sound; its words are said at its time."""
    bench = Bench(silent=("end",))
    bench.schedule(Call(101.0, "end", 1, ("1",)))
    bench.until(105)
    assert bench.diary == [(101.0, "end says")]


def test_the_voice_can_be_silent() -> None:
    """Without the voice only cues sound."""
    bench = Bench(silent=("say",))
    bench.schedule(Call(101.0, "end", 1, ("1",)), Call(103.0, "say", 1, ("9",)))
    bench.until(105)
    assert bench.sounded() == ["end"]


def test_an_unknown_word_is_told_and_left_out() -> None:
    """A stage of the user's own without a spoken word still has its number said, and the lack is told."""
    problems: list[str] = []
    library = Library(report=problems.append)
    assert len(library.words(["2", "gilding"])) == 1
    assert problems == ["no sound called voice/gilding"]


def test_a_sound_that_is_over_by_the_clock_yields_to_the_next() -> None:
    """An output that lags behind, and has not told that a sound is finished, holds up no later cue."""
    bench = Bench()
    bench.schedule(Call(101.0, "pip", 1), Call(101.19, "pip", 1))
    bench.until(101.1)
    playing = bench.scheduler.playing
    bench.scheduler.advance(101.3)
    assert bench.scheduler.playing is not playing
    assert bench.scheduler.playing is not None and bench.scheduler.playing.call.up == 101.19


def test_at_rest_nothing_is_due() -> None:
    """A scheduler without cues never needs to be woken."""
    bench = Bench()
    bench.until(101)
    assert bench.scheduler.due() == math.inf
    assert isinstance(bench.scheduler.library.cue("pip"), array)


def test_a_menu_line_ends_the_one_before_it() -> None:
    """Asked for line after line, only the newest goes on; calls of the plates are not touched by it."""
    bench = Bench()
    bench.schedule(Call(100.0, "end", 1, ("plate", "1", "lift")))
    bench.until(100.3)
    bench.scheduler.post_now(Call(100.3, "say", None, ("take-a-plate-from-the-rack",)))
    bench.until(100.35)
    bench.scheduler.post_now(Call(100.35, "say", None, ("menu",)))
    bench.until(110)
    assert bench.sounded() == ["end", "end says", "end says", "end says", "say says"]
    bench.scheduler.post_now(Call(110.0, "say", None, ("take-a-plate-from-the-rack",)))
    bench.until(110.2)
    bench.scheduler.post_now(Call(110.2, "refused", 1))
    bench.until(115)
    assert bench.diary[-2:] == [(110.0, "say says"), (110.2, "refused")]


def test_a_repeated_call_is_left_out_while_anything_is_said() -> None:
    """The change of the water is said in a silence, and dropped beside another call's words."""
    bench = Bench()
    change = ("plate", "1", "change", "2", "of", "8")
    bench.schedule(Call(101.0, "repeat", 1, change), Call(120.0, "end", 2), Call(121.0, "repeat", 1, change))
    bench.until(110)
    assert bench.sounded() == ["repeat says"] * 6
    bench.schedule(Call(120.0, "end", 2, ("plate", "2", "lift")), Call(121.0, "repeat", 1, change))
    bench.until(130)
    assert bench.sounded()[6:] == ["end", *["end says"] * 3]
    assert bench.dropped() == [("repeat", "another is said")]


def test_a_count_that_comes_late_is_dropped_and_a_sentence_is_not() -> None:
    """A second counted half a second late is wrong; a single word that was asked for is only late."""
    bench = Bench()
    bench.schedule(Call(100.0, "past_wet", 1), Call(100.2, "say", 2, ("12",)))
    bench.scheduler.post_now(Call(100.0, "say", None, ("menu",)))
    bench.until(105)
    assert bench.sounded() == ["past_wet", "say says"]
    assert bench.dropped() == [("say", "no room for the words")]
