"""Since when the plates of a process have a fault, and what to try: told before the next one."""

from __future__ import annotations

import threading
from datetime import datetime
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.exposure.learned import Learned
from darkroom.log.journal import append
from darkroom.screens.home import last_advice
from darkroom.screens.home.form_rows import LEAST_FIELDS, advice_words, told_lines, with_fault
from darkroom.screens.home.last_advice import Advice, AdviceReader
from darkroom.screens.widgets.rows import Row, fill, width
from tests.kit import fault_season
from tests.kit.book_of_bottles import put_shelf
from tests.kit.log_commands import journal
from tests.kit.review_hand import Looker, looking

LAST_DAY = datetime.fromisoformat("2026-05-15T12:00:00+02:00")
AT = "2026-05-20T20:00:00.000+02:00"


def run(home: Path, first: int, last: int) -> list[Path]:
    """Write plates of the run in which fog begins with plate 31 and is gone with plate 35."""
    return [fault_season.shelve_plate(home, number, LAST_DAY, {}) for number in range(first, last + 1)]


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
def test_the_fault_stands_before_the_next_plate(home: Path, size: tuple[int, int]) -> None:
    """Since when, and the one thing to try; what the last plate said of the exposure, where a row is free."""
    run(home, 24, 33)

    async def steps(hand: Looker) -> None:
        text = await hand.wait("since plate 31: general fog")
        if size[1] >= 24:  # where all rows are taken "as it was" gives way
            assert "from plate 33" in text
        assert [width(row) for row in hand.rows()] == [size[0]] * size[1]
        await hand.press("right")
        assert "since plate 31" not in hand.text(), "another process has no such plate"
        await hand.press("left")
        assert "since plate 31" in hand.text()

    looking(home, steps, text=None, size=size)


@pytest.mark.parametrize("plates", [(24, 33), (29, 36)])
def test_with_a_book_of_bottles_it_is_read_whole(home: Path, plates: tuple[int, int]) -> None:
    """At 80 x 24 the bottles take the free rows: the fault is told to its end all the same."""
    put_shelf(home)
    run(home, *plates)
    gone = plates == (29, 36)
    begins = "general fog gone since" if gone else "since plate 31: general fog"
    ends = "confirms the cause" if gone else "to your usual temperature"

    async def steps(hand: Looker) -> None:
        await hand.wait(begins)
        row = next(row for row in hand.rows() if begins in row)
        assert ends in row and row.startswith(begins), row
        assert [width(row) for row in hand.rows()] == [80] * 24

    looking(home, steps, text=None)


def test_a_fault_that_is_gone_asks_for_its_cause(home: Path) -> None:
    """Plates judged without it: where the cause is confirmed is said, until it is."""
    plates = run(home, 29, 36)

    async def gone(hand: Looker) -> None:
        await hand.wait("general fog gone since plate 35: c on plate 34's page confirms the cause")

    looking(home, gone, text=None)
    fog = plates[5]
    line = next(line["n"] for line in journal(fog) if line["event"] == "fault")
    append.add(
        home,
        fog,
        lambda n: ev.Fault(n=n, at=AT, up=None, name="general fog", cause="none of these", corrects=line),
    )

    async def silent(hand: Looker) -> None:
        reader = hand.tool.services.advice
        await hand.until(lambda: not reader.busy)
        assert "gone since" not in hand.text()

    looking(home, silent, text=None)


def test_a_question_during_the_reading_is_answered_anew(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is asked while the log is read is read once more, and both who asked are told."""
    may_go, reads = threading.Event(), []

    def slow(home: Path) -> dict[str, last_advice.Advice]:
        reads.append(home)
        may_go.wait(20.0)
        return {}

    monkeypatch.setattr(last_advice, "latest_advice", slow)
    reader = AdviceReader(home)
    first, second = threading.Event(), threading.Event()
    reader.ask(lambda call: call(), first.set)
    while not reads:
        pass
    reader.ask(lambda call: call(), second.set)
    may_go.set()
    assert first.wait(20.0) and second.wait(20.0)
    assert len(reads) == 2


def test_where_there_is_no_row_it_says_so() -> None:
    """A full page with something due has no row for it: the caller tells it beside the advice."""
    full: list[Row] = [fill([("due", "text")], 40) for _ in range(10)]
    assert not with_fault(list(full), "since plate 31: fog", 40, 10, 2)
    full[2] = fill([], 40)
    assert with_fault(full, "since plate 31: fog", 40, 10, 2)
    assert "since plate 31" in full[2][0][0]
    short: list[Row] = [fill([], 40)]
    assert not with_fault(short, "", 40, 10, 0) and len(short) == 10


def test_a_long_advice_takes_rows_of_the_fields() -> None:
    """Each of its words is told as long as fields are in sight beside it; a wish for more light is too."""
    fault = "since plate 31: general fog; " + " ".join(f"word{number}" for number in range(30))
    other = Advice("from plate 3: 1/2 stop more", 8.0, "", "from plate 3", 0.5)
    lines = told_lines(fault, other, other.text, 60, 16)
    assert " ".join(lines) == f"{fault}; {other.text}" and all(width(line) <= 60 for line in lines)
    same = Advice("from plate 3: as it was", 8.0, "", "from plate 3", 0.0)
    assert " ".join(told_lines(fault, same, same.text, 60, 16)) == fault
    few = told_lines(fault, other, other.text, 60, LEAST_FIELDS + 1)
    assert len(few) == 2 and few[1].endswith("…") and width(few[1]) <= 60
    assert told_lines("fog", None, "", 60, 0) == ["fog"]


def test_a_time_as_good_as_the_proposed_one_is_no_other() -> None:
    """A fiftieth more or less is not said to differ; a tenth is."""
    learned = Learned(
        low=-1.0, middle=0.0, high=1.0, seconds_low=4.0, seconds=8.0, seconds_high=16.0, plates=2
    )
    assert advice_words(None, learned, "8.1 s") == ""
    assert "the form has 9 s" in advice_words(None, learned, "9 s")
