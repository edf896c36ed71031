"""What the bottles need, on the day's sheet before the first plate and after the last."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from darkroom.bench.all_plates import NEW
from darkroom.screens import bottles_at_hand
from darkroom.screens.day.screen import DayScreen
from darkroom.session.plate_form import PlateForm
from tests.kit.bottle_files import put_bottle
from tests.kit.day import go_through_sheet
from tests.kit.review_hand import Looker, looking


def _sheet(hand: Looker) -> DayScreen:
    screen = hand.tool.screen
    assert isinstance(screen, DayScreen)
    return screen


async def _book_read(hand: Looker) -> None:
    bottles = hand.tool.services.bottles
    await hand.until(lambda: bool(bottles.known.dues))


def test_an_uniodised_bath_heads_the_sheet(home: Path) -> None:
    """Before the first plate each due care is a line with its reason; a tick is kept like any other."""
    bath = put_bottle(home, "bath", "B-2", recipe="silver-bath")
    put_bottle(home, "bath", "B-1", days=60.0, recipe="silver-bath", treated=["iodised"])

    async def steps(hand: Looker) -> None:
        await _book_read(hand)
        hand.tool.offer(PlateForm(process="clear-glass"))
        await hand.wait("BEFORE THE FIRST PLATE")
        sheet = _sheet(hand)
        assert sheet.lines[0] == f"care:{bath}:iodise"
        assert "B-2: iodise" in hand.text() and "Not iodised since it was made" in hand.text()
        assert "B-1: filter the bath" in {item.text for item in sheet.items}
        await hand.later(0.8)
        await hand.press("space")
        await hand.until(lambda: f"care:{bath}:iodise" in sheet.day.seen)

    looking(home, steps, text=None)


def test_the_book_may_be_read_after_the_sheet_is_shown(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The lines come when they are known; the hand is on the first until it moved, then stays where it is."""
    put_bottle(home, "bath", "B-2", recipe="silver-bath")
    may_read, read = threading.Event(), bottles_at_hand._read
    monkeypatch.setattr(bottles_at_hand, "_read", lambda *words: (may_read.wait(20), read(*words))[1])

    async def steps(hand: Looker) -> None:
        hand.tool.offer(PlateForm(process="clear-glass"))
        await hand.wait("BEFORE THE FIRST PLATE")
        sheet = _sheet(hand)
        assert sheet.lines[0] == "goggles"
        await hand.later(0.8)
        await hand.press("down")
        await hand.until(lambda: sheet.lines[sheet.current] == "gloves")
        may_read.set()
        await hand.wait("B-2: iodise")
        assert sheet.lines[sheet.current] == "gloves" and sheet.lines[1] == "goggles"
        hand.tool.pop_screen()
        hand.tool.offer(PlateForm(process="clear-glass"))
        await hand.until(lambda: hand.tool.screen is not sheet and isinstance(hand.tool.screen, DayScreen))
        again = _sheet(hand)
        await hand.until(lambda: again.lines[again.current].endswith(":iodise"))

    try:
        looking(home, steps, text=None)
    finally:
        may_read.set()


def test_a_care_that_comes_due_at_noon_does_not_bring_the_sheet_back(home: Path) -> None:
    """The sheet was gone through this morning: the next plate goes to the bench at once."""
    put_bottle(home, "bath", "B-2", recipe="silver-bath")

    async def steps(hand: Looker) -> None:
        go_through_sheet(home, hand.tool.services.bench_id)
        await _book_read(hand)
        hand.tool.offer(PlateForm(process="clear-glass"))
        await hand.until(lambda: NEW in hand.tool.session.bench.plates)

    looking(home, steps, text=None)


def test_the_closing_sheet_tells_what_is_due_tomorrow(home: Path) -> None:
    """A bath that must be filtered fourteen days after the last time is told of on the thirteenth."""
    put_bottle(home, "bath", "B-1", days=13.5, recipe="silver-bath", treated=["iodised"])

    async def steps(hand: Looker) -> None:
        go_through_sheet(home, hand.tool.services.bench_id)
        await _book_read(hand)
        assert hand.tool.services.bottles.due_line() == ""
        assert hand.tool.day_sheet(leaving=True)
        await hand.wait("AFTER THE LAST PLATE")
        assert "Tomorrow, B-1: filter the bath" in hand.text()

    looking(home, steps, text=None)
