"""What the bottles need, on the day's sheet before the first plate and after the last."""

from __future__ import annotations

from pathlib import Path

from darkroom.bench.all_plates import NEW
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
