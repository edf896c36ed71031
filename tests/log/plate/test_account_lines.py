"""What a journal's lines say in a photographer's words."""

from __future__ import annotations

from typing import Any

import pytest

from darkroom.bench import events as ev
from darkroom.bench.standing import Line, standing
from darkroom.log.plate.account import StageAccount
from darkroom.log.plate.account_lines import AccountLines
from darkroom.log.plate.stage_text import ended, took
from tests.kit.journals import at

FIX_ENDED = ev.StageEnded(n=2, at=at(60), up=60.0, stage="fix", seconds=60.0, planned=62.0, how="strike")
AGAIN = ": the computer was started again in between"
WASH = ev.StageStarted(n=3, at=at(60), up=60.0, stage="wash", planned=900.0, celsius=15.0)


def _moments(*lines: Line) -> list[str]:
    """Return the moments of a plate whose journal has these lines after the end of its fixer."""
    every_line = [FIX_ENDED, WASH, *lines]
    stands = {line.n for line in standing(every_line)}
    return [moment.text for moment in AccountLines(every_line, stands).moments()]


def _moved(n: int, seconds: float = -5.0, up: float | None = 70.0, **more: Any) -> ev.Moved:
    return ev.Moved(n=n, at=at(70), up=up, moves=(2, 3), seconds=seconds, **more)


def test_a_moved_step_is_named_and_several_strikes_are_one_move() -> None:
    """Three strikes of "earlier" are 15 s, with a reading between them too; another moment parts them."""
    read = ev.Temperature(n=5, at=at(70), up=70.0, source="water", celsius=12.0, from_="hand")
    assert _moments(_moved(4), read, _moved(6), _moved(7)) == ["end of fix moved 15 s earlier"]
    parted = _moments(_moved(4), ev.Mark(n=5, at=at(71), up=71.0), _moved(6))
    assert parted == ["end of fix moved 5 s earlier", "mark 1", "end of fix moved 5 s earlier"]


def test_a_move_at_review_stays_a_moment_of_its_own() -> None:
    """It has its reason; a line that cannot be read is a step without a name."""
    late = _moved(5, seconds=8.0, up=None, reason="forgot")
    assert _moments(_moved(4), late) == ["end of fix moved 5 s earlier", "end of fix moved 8 s later: forgot"]
    lost = ev.Moved(n=4, at=at(70), up=70.0, moves=(99,), seconds=-5.0)
    assert _moments(lost) == ["a step moved 5 s earlier"]


@pytest.mark.parametrize(
    ("gap", "by", "text"),
    [
        (136.726, "up", "darkroom was closed for 2 min 17 s"),
        (136.726, "wall", "darkroom was closed for about 2 min 17 s" + AGAIN),
        (0.0, "wall", "darkroom was closed, for how long is not known" + AGAIN),
    ],
)  # fmt: skip
def test_coming_back_tells_how_long_it_was_closed(gap: float, by: Any, text: str) -> None:
    """By the clock that counted; nothing is claimed where the wall clock went backwards."""
    assert _moments(ev.Resumed(n=4, at=at(200), up=200.0, gap=gap, by=by, boot="b")) == [text]


def test_coming_back_from_the_rack_is_told_as_that() -> None:
    """A plate that waited on the rack was not at a closed bench."""
    racked = ev.Racked(n=4, at=at(100), up=100.0)
    back = ev.Resumed(n=5, at=at(4000), up=50.0, gap=3600.0, by="wall", boot="b")
    assert _moments(racked, back)[1] == "it was on the rack for about 1 h" + AGAIN


def test_stalls_are_one_sentence_and_short_ones_none() -> None:
    """Nine stalls of a second say nothing; the long ones are counted with the longest."""
    stalls = [ev.Clock(n=n, at=at(n), up=float(n), kind="stalled", seconds=1.029) for n in range(4, 13)]
    assert _moments(*stalls) == []
    long = [ev.Clock(n=n, at=at(n), up=float(n), kind="stalled", seconds=n - 10.0) for n in (13, 14)]
    assert _moments(*stalls, *long) == [
        "the computer was too busy 2 times, for up to 4 s: calls may have come late"
    ]
    assert _moments(long[0])[0].startswith("the computer was too busy once, for 3 s")


def test_sleep_and_a_clock_that_was_set_are_told_in_words() -> None:
    """The direction of a step is its sign."""
    changes = [("slept", 125.0), ("stepped", 3600.0), ("stepped", -60.0)]
    lines = [
        ev.Clock(n=n, at=at(n), up=float(n), kind=kind, seconds=seconds)  # type: ignore[arg-type]
        for n, (kind, seconds) in enumerate(changes, 4)
    ]
    assert _moments(*lines) == [
        "the computer slept for 2 min 5 s",
        "the computer's clock was set 1 h forward",
        "the computer's clock was set 1 min back",
    ]


def test_marks_are_numbered_within_the_plate_and_carry_their_words() -> None:
    """Words about a mark stand beside it; corrected words do not."""
    lines = [
        ev.Mark(n=4, at=at(70), up=70.0),
        ev.Mark(n=5, at=at(80), up=80.0),
        ev.Note(n=6, at=at(90), up=None, text="dust", about=5),
        ev.Note(n=7, at=at(90), up=None, text="a drop", about=5, corrects=6, reason="seen by day"),
    ]
    assert _moments(*lines) == ["mark 1", "mark 2: a drop"]
    every_line = [FIX_ENDED, WASH, *lines]
    words = AccountLines(every_line, {line.n for line in every_line}).words()
    assert [line.text for line in words] == [
        "mark 2: dust",
        'mark 2: a drop (instead of "mark 2: dust": seen by day)',
    ]
    assert [line.fate for line in words] == ["corrected", ""]


def test_a_question_is_asked_and_a_refusal_refused() -> None:
    """A refused line that asks is told as a question."""
    lines = [
        ev.Refused(n=4, at=at(70), up=70.0, intent="go", reason="2:10 short: again to lift", asks="short"),
        ev.Refused(n=5, at=at(71), up=71.0, intent="go", reason="it went on by itself"),
    ]
    assert _moments(*lines) == ["asked: 2:10 short: again to lift", "refused: it went on by itself"]


def _stage(**members: Any) -> StageAccount:
    plain: dict[str, Any] = {
        "stage": "sensitise", "started": None, "seconds": 80.0, "planned": 210.0, "usual": None,
        "how": "strike", "source": None, "celsius": None, "origin": None, "cleared": None,
        "exposed": None, "strips": None, **members,
    }  # fmt: skip
    return StageAccount(**plain)


def test_how_a_stage_ended_is_told_as_it_was_seen() -> None:
    """Short by how much, and that it was confirmed; an end nobody saw claims nothing."""
    assert ended(_stage()) == "struck"
    assert ended(_stage(how="short")) == "2:10 short, asked and confirmed"
    assert ended(_stage(how="short", planned=None)) == "struck short"
    assert ended(_stage(unseen=True)) == "nobody saw when"
    assert took(_stage(unseen=True)) == "1:20 until somebody looked"
