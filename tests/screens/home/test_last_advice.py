"""The last plate's "change next time" stands on the home screen before the next plate of that process."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.log.journal import append
from darkroom.process.model import ExposurePlan
from darkroom.screens.bench.menu import proposed_next
from darkroom.screens.home import last_advice
from darkroom.screens.home.last_advice import Advice, AdviceReader, latest_advice
from tests.kit import season
from tests.kit.exports import shelve
from tests.kit.judged import exposed_plate
from tests.kit.review_hand import Looker, looking


def _suggest(
    home: Path, path: Path, *, key: str = "next", value: str = "", stops: float | None = None
) -> None:
    if value:
        append.add(
            home,
            path,
            lambda n: ev.Detail(n=n, at="2026-11-01T09:00:00.000+01:00", up=None, key=key, value=value),
        )
    if stops is not None:
        append.add(
            home,
            path,
            lambda n: ev.Rating(n=n, at="2026-11-01T09:00:00.000+01:00", up=None, exposure_stops=stops),
        )


def _of(plates: list[Path], process: str) -> list[Path]:
    return [path for path in plates if f'"name":"{process}"'.encode() in path.read_bytes()]


def test_the_newest_plate_that_says_something_counts(home: Path) -> None:
    """Of each process the newest plate's words are taken, with the stops it asked for."""
    plates = _of(season.write(home, 40, seed=3, days=4), "Tintype")
    _suggest(home, plates[-2], value="warm the developer")
    earlier_advice = latest_advice(home)
    _suggest(home, plates[-1], value="wait for the sun", stops=-0.5)
    assert earlier_advice["Tintype"] != latest_advice(home)["Tintype"]
    assert ": wait for the sun, half a stop less" in latest_advice(home)["Tintype"].text


def test_a_broken_journal_is_passed_over(home: Path) -> None:
    """A journal that tells nothing hides no other plate's words."""
    plates = _of(season.write(home, 40, seed=3, days=4), "Tintype")
    _suggest(home, plates[-2], value="warm the developer")
    plates[-1].write_bytes(b"\xff\x00nothing\n")
    assert "warm" in latest_advice(home)["Tintype"].text


def test_an_empty_log_says_nothing(home: Path) -> None:
    """Before the first plate there is nothing to change."""
    assert latest_advice(home) == {}


def test_it_stands_on_the_home_screen(home: Path) -> None:
    """The words stand there for the process that is chosen, and for no other."""
    plates = _of(season.write(home, 40, seed=3, days=4), "Tintype")
    _suggest(home, plates[-1], value="pour from the other corner")

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        names = hand.tool.process_names
        seen = False
        for _ in range(len(names)):
            chosen = hand.tool.screen.values["process"]  # type: ignore[attr-defined]
            if chosen == "tintype":
                await hand.wait("pour from the other corner")
                seen = True
            else:
                assert "pour from the other corner" not in hand.text()
            await hand.press("right")
        assert seen

    looking(home, steps, text=None)


def _judged(home: Path, number: int, stops: float, **plate: Any) -> None:
    lines = exposed_plate(**plate).lines["p1"]
    name = f"20260301-09{number:02}00-aaaaaa"
    start = msgspec.structs.replace(lines[0], plate=name, number=number)  # type: ignore[type-var]
    at = "2026-03-01T20:00:00.000+01:00"
    shelve(home, [start, *lines[1:], ev.Rating(n=lines[-1].n + 1, at=at, up=None, exposure_stops=stops)])


def test_the_exposure_is_that_of_the_newest_judged_plate_like_the_last(home: Path) -> None:
    """A plate that was right is a guide too, an older one is not; one with another lens says nothing."""
    _judged(home, 1, 0.5)
    assert latest_advice(home)["Trial"].text == "from plate 1: half a stop more: 11 s"
    _judged(home, 2, 0.0, open_for=10.0, plan=ExposurePlan(seconds=10.0))
    assert latest_advice(home)["Trial"].text == "from plate 2: as it was: 10 s"
    lines = exposed_plate(lens="another").lines["p1"]
    start = msgspec.structs.replace(lines[0], plate="20260302-090000-aaaaaa", number=3)  # type: ignore[type-var]
    shelve(home, [start, *lines[1:]])
    assert "Trial" not in latest_advice(home)


def test_the_menu_and_the_home_form_have_one_answer(home: Path) -> None:
    """A plate judged in the log after it was judged at the bench is proposed alike by both."""
    bench = exposed_plate(plan=ExposurePlan(seconds=8.0), scene=None)
    bench.go(420.0, 460.0)
    bench.do(461.0, want.JudgeExposure("right"))
    _judged(home, 7, 1.0)

    async def steps(hand: Looker) -> None:
        tool = hand.tool
        tool.session.bench = bench.bench
        tool.services.advice.ask(tool.from_thread, lambda: None)
        while not tool.services.advice.known:
            await hand.pilot.pause(0.02)
        advice = latest_advice(home)["Trial"]
        assert advice.seconds == 16.0
        assert proposed_next(tool) == ("16 s, a stop more", 16.0)
        tool.services.advice.forget()
        assert proposed_next(tool) == ("8 s, as it was", 8.0)

    looking(home, steps, text=None)


def test_what_was_being_read_while_it_was_forgotten_is_not_known(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plate is judged at the bench while the log is being read: what the log said before is not told."""
    may_go, reading, told = threading.Event(), threading.Event(), threading.Event()

    def slow(home: Path) -> dict[str, Advice]:
        reading.set()
        may_go.wait(20.0)
        return {"Trial": Advice("a stop more", 16.0)}

    monkeypatch.setattr(last_advice, "latest_advice", slow)
    reader = AdviceReader(home)
    reader.ask(lambda call: call(), told.set)
    assert reading.wait(20.0)
    reader.forget()
    may_go.set()
    assert told.wait(20.0) and not reader.known
    told.clear()
    reader.ask(lambda call: call(), told.set)
    assert told.wait(20.0) and reader.known


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_after_an_error_the_next_question_is_answered(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reading that fails while another question waits for it does not keep later ones from the log."""
    may_go, reading, told = threading.Event(), threading.Event(), threading.Event()

    def failing(home: Path) -> dict[str, Advice]:
        reading.set()
        may_go.wait(20.0)
        raise OSError("the card is gone")

    monkeypatch.setattr(last_advice, "latest_advice", failing)
    others = threading.enumerate()
    reader = AdviceReader(home)
    reader.ask(lambda call: call(), told.set)
    assert reading.wait(20.0)
    reader.ask(lambda call: call(), told.set)
    (thread,) = (each for each in threading.enumerate() if each not in others)
    may_go.set()
    thread.join(20.0)
    assert not reader.busy
    monkeypatch.setattr(last_advice, "latest_advice", lambda home: {"Trial": Advice("a stop more", 16.0)})
    told.clear()
    reader.ask(lambda call: call(), told.set)
    assert told.wait(20.0) and reader.known
