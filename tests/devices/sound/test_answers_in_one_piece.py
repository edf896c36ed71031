"""What a hand asked for is said whole and in one piece, beside pips, counted seconds and calls."""

from __future__ import annotations

import pytest

from darkroom.devices.sound.messages import Call
from darkroom.resources import sounds_dir
from darkroom.session.speech import SpokenSet
from tests.kit.scheduler import Bench

SPOKEN = SpokenSet(path.stem.replace("-", " ") for path in (sounds_dir() / "voice").glob("*.wav"))
COUNTED = [Call(100.0 + second, "say", 1, (str(second),)) for second in range(2, 20)]
"""The seconds that are counted aloud in the developer."""
LAST_FIVE = [Call(100.0 + second, "pip", 1) for second in range(2, 7)]
"""The pips before a zero at 107."""
CALL = Call(107.0, "end", 1, ("plate", "1", "lift"))


def said(bench: Bench, name: str) -> list[float]:
    """Return when each recording of what this cue says began."""
    return [at for at, what in bench.diary if what == f"{name} says"]


@pytest.mark.parametrize("hundredths", range(0, 100, 9))
@pytest.mark.parametrize("others", [COUNTED, [*LAST_FIVE, CALL]], ids=["counted", "pips"])
@pytest.mark.parametrize(
    ("name", "texts"),
    [
        ("refused", ("again to take back the developer",)),
        ("refused", ("21 s short: again to lift",)),
        ("refused", ("it went on by itself",)),
        ("accepted", ("plate 1", "answered no: it goes on")),
        ("accepted", ("plate 21", "taken back", "develop")),
    ],
)
def test_an_answer_is_said_in_one_piece(
    name: str, texts: tuple[str, ...], others: list[Call], hundredths: int
) -> None:
    """Whatever the instant of the strike, the whole answer is said; pips and counts alone are left out."""
    words = SPOKEN.say(texts)
    bench = Bench()
    bench.schedule(*others)
    struck = 101 + hundredths / 100
    bench.until(struck)
    bench.scheduler.post_now(Call(struck, name, 1, words))
    bench.until(120)
    at = said(bench, name)
    assert len(at) == len(words)
    assert at[-1] - struck < 4.0
    between = [what for when, what in bench.diary if at[0] <= when <= at[-1]]
    assert between == [f"{name} says"] * len(words)
    assert {what for what, _ in bench.dropped()} <= {"pip", "say", name}
    assert (name, "no room for the words") not in bench.dropped()


def test_what_is_told_beside_pips_is_said_whole_before_the_call() -> None:
    """Asked to tell in the last seconds, the voice tells; the call comes at its instant all the same."""
    words = SPOKEN.say(("plate 1", "sensitise", "4 s left", "then lift"))
    bench = Bench()
    bench.schedule(*LAST_FIVE, CALL)
    bench.until(102.5)
    bench.scheduler.post_now(Call(102.5, "say", None, words))
    bench.until(115)
    assert len(said(bench, "say")) == len(words)
    assert (107.0, "end") in bench.diary
    assert len(said(bench, "end")) == 3


def test_a_call_cuts_an_answer_that_is_said_to_its_end_behind_it() -> None:
    """A zero is called at its instant; the rest of the answer is said right after the sound."""
    words = SPOKEN.say(("6 s short: again to lift",))
    bench = Bench()
    bench.schedule(Call(102.0, "end", 2, ("plate", "2", "rinse")))
    bench.until(101.0)
    bench.scheduler.post_now(Call(101.0, "refused", 1, words))
    bench.until(115)
    assert (102.0, "end") in bench.diary
    assert len(said(bench, "refused")) == len(words)
    assert len(said(bench, "end")) == 3


def test_pips_that_no_answer_falls_into_are_all_heard() -> None:
    """Only the pips within the answer are left out; before and behind it each sounds at its second."""
    bench = Bench()
    bench.schedule(*LAST_FIVE)
    bench.until(103.3)
    bench.scheduler.post_now(Call(103.3, "accepted", 1, SPOKEN.say(("plate 1", "expose"))))
    bench.until(110)
    assert [at for at, what in bench.diary if what == "pip"] == [102.0, 103.0, 105.0, 106.0]
    assert bench.dropped() == [("pip", "words go before it")]


@pytest.mark.parametrize("hundredths", range(0, 100, 9))
@pytest.mark.parametrize(
    ("name", "text"), [("safelight", "safelight only"), ("room_light", "room light is safe")]
)
def test_the_light_is_said_beside_the_pips_of_another_plate(name: str, text: str, hundredths: int) -> None:
    """A turn of the light that a strike caused is said while another plate's last five seconds are heard."""
    bench = Bench()
    bench.schedule(*LAST_FIVE, CALL)
    struck = 101 + hundredths / 100
    bench.until(struck)
    bench.scheduler.post_now(Call(struck, "accepted", 2, SPOKEN.say(("plate 2", "sensitise"))))
    bench.scheduler.post_now(Call(struck, name, None, SPOKEN.say((text,))))
    bench.until(120)
    (at,) = said(bench, name)
    assert at - struck < 4.0
    assert (107.0, "end") in bench.diary


@pytest.mark.parametrize("hundredths", range(0, 100, 9))
def test_an_answer_is_said_before_the_words_of_a_call_that_came_just_after_it(hundredths: int) -> None:
    """Just before its zero a plate has cleared: the call sounds in time, its words follow the answer's."""
    bench = Bench()
    bench.schedule(Call(102.0, "end", 3, SPOKEN.say(("plate 3", "wash"))))
    struck = 101 + hundredths / 100
    bench.until(struck)
    bench.scheduler.post_now(Call(struck, "accepted", 3, SPOKEN.say(("plate 3", "cleared"))))
    bench.until(110)
    answered, called = said(bench, "accepted"), said(bench, "end")
    assert (102.0, "end") in bench.diary
    assert len(answered) == len(called) == 3
    assert answered[-1] < called[0]
