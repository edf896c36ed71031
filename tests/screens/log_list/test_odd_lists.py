"""The list of plates in odd places: names that are no text, years that are none, screens that change size."""

from __future__ import annotations

import asyncio
import os
import sys
from pathlib import Path

import pytest

from darkroom.errors import WrongUse
from darkroom.log.catalogue import filter_values
from darkroom.screens.app import Tool
from darkroom.screens.start import build
from tests.kit.plates import forgotten, put
from tests.kit.review_hand import Looker, looking, make_sensitive, put_plate


@pytest.mark.skipif(sys.platform != "linux", reason="file names of any bytes are Linux's")
def test_a_log_in_a_folder_whose_name_is_no_text_opens_its_plates(home: Path) -> None:
    """A folder's name may be any bytes: the plate opens as in any other, and is held to be compared."""
    home = home / os.fsdecode(b"old\xff")
    home.mkdir()
    put(home, forgotten())

    async def steps(hand: Looker) -> None:
        await hand.wait("Apple tree")
        await hand.press("f5")
        assert hand.rows()[3].startswith("+")
        await hand.press("enter")
        text = await hand.wait("warm")
        assert "APPLE TREE" in text.upper() and "its first line is lost" not in text

    looking(home, steps)


@pytest.mark.parametrize("year", ["0000", "٢٠٢٦", "0000-05"])
def test_a_year_that_is_none_is_refused(year: str) -> None:
    """Years are 0001 to 9999 in the ten figures of ASCII: others are said to be wrong, not asked for."""
    with pytest.raises(WrongUse):
        filter_values.days(year, "day")


def test_a_jump_to_no_year_leaves_the_list_alive(home: Path) -> None:
    """The question stays open for a year that is none; afterwards the list still answers."""
    put(home, forgotten())

    async def steps(hand: Looker) -> None:
        await hand.wait("1, newest first")
        await hand.press("f7")
        await hand.pilot.pause(0.1)
        await hand.press("0", "0", "0", "0", "enter")
        assert type(hand.tool.screen).__name__ == "Prompt"
        await hand.press("escape")
        await hand.type("apple")
        text = await hand.wait("Apple tree")
        assert "cannot be looked at" not in text

    looking(home, steps)


def test_signs_unseen_in_the_filter_of_the_command_line_are_left_out(home: Path) -> None:
    """A byte that is no text, a line end or an escape given to `log look` is not typed: the rest filters."""
    put(home, forgotten())

    async def steps(hand: Looker) -> None:
        text = await hand.wait("Apple tree")
        assert text.splitlines()[1].startswith(" find  apple")
        assert len(hand.rows()) == 24 and all(row.isprintable() for row in hand.rows())

    looking(home, steps, text="ap\udcffp\nl\x1be")


def test_a_plate_without_its_first_line_is_held_as_a_question_mark(home: Path) -> None:
    """A plate whose number is lost has none to be called by: the page calls it "?", as its row does."""
    path = put(home, forgotten())
    path.write_bytes(path.read_bytes().partition(b"\n")[2])

    async def steps(hand: Looker) -> None:
        await hand.wait("1, newest first")
        await hand.press("f5")
        assert "plate ? is held" in hand.text()

    looking(home, steps)


def test_the_cursor_stays_in_sight_on_a_screen_that_changes_its_size(home: Path, plates: list[Path]) -> None:
    """A smaller screen scrolls to the plate under the cursor; a much taller one is filled by itself."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.press(*["down"] * 30)
        await hand.pilot.resize_terminal(80, 12)
        screen = hand.tool.screen
        await hand.wait(lambda text: len(text.splitlines()) == 12)
        assert screen.top <= screen.place == 30 < screen.top + screen.room  # type: ignore[attr-defined]
        await hand.press("home")
        await hand.wait(lambda text: " 60 " in text)
        await hand.pilot.resize_terminal(80, 60)
        text = await hand.wait(lambda text: len(text.splitlines()) == 60 and "\n …" not in text, 5)
        assert sum(" 2026 " in row or row[:12].isspace() for row in text.splitlines()[3:58]) == 55

    looking(home, steps, size=(80, 45))


def test_a_jump_is_not_lost_to_a_page_that_comes_before_it(home: Path, plates: list[Path]) -> None:
    """A page of the place left behind, come after a day was asked for, does not stand for the answer."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        screen = hand.tool.screen
        screen.ask(0, "2026-04-05")  # type: ignore[attr-defined]
        screen.take_page(screen.page, True)  # type: ignore[attr-defined]
        await hand.wait("5 Apr 2026")
        assert screen.row_at(screen.place)["day"] == "2026-04-05"  # type: ignore[attr-defined]

    looking(home, steps)


def test_a_call_leads_to_the_bench_from_under_a_filter_too(home: Path, plates: list[Path]) -> None:
    """While a plate calls, one escape shows the bench as the page says, whatever is typed as a filter."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.type("ferns")
        put_plate(hand.tool)
        await make_sensitive(hand)
        clock = hand.tool.session.clock.up
        hand.tool.session.clock.up = lambda: clock() + 3600.0  # an hour on: the bath calls
        await hand.wait("escape: to the bench")
        await hand.press("escape")
        assert hand.tool.screen is hand.tool.bench_screen

    looking(home, steps)


def test_each_page_sleeps_on_one_timer(home: Path, plates: list[Path]) -> None:
    """A page has one timer that draws it, and none that repeats: nothing is paid twice beside a bench."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        for keys in ((), ("f4",), ("escape", "enter")):
            await hand.press(*keys)
            screen, looks = hand.tool.screen, 0
            while not looks:  # between two timers it is being drawn
                await asyncio.sleep(0.01)
                timers = [timer for timer in screen._timers if timer.name != "screen_update"]
                assert len(timers) <= 1 and not [timer for timer in timers if timer._repeat != 0]
                looks += len(timers)

    looking(home, steps)


def test_after_a_crash_in_the_log_the_bench_opens(home: Path) -> None:
    """The tool that starts itself again shows the bench alone, also when it was opened on its log."""

    async def run() -> None:
        services = build(home)
        services.opening.filter = "ferns"
        try:
            for shown in ("PlateListScreen", "BenchScreen"):
                tool = Tool(services)
                if not services.session.bench.on_bench:
                    put_plate(tool)
                async with tool.run_test() as pilot:
                    await pilot.pause()
                    assert type(tool.screen).__name__ == shown
        finally:
            services.close()

    asyncio.run(run())


def test_two_plates_on_a_console_without_block_characters(home: Path, plates: list[Path]) -> None:
    """Where only spaces can be drawn, the bars of what differs are spaces of the other colour and "|"."""

    async def steps(hand: Looker) -> None:
        hand.tool.blocks = "spaces"
        await hand.wait("60, newest first")
        await hand.press("f5", "down", "f5")
        await hand.wait("SIDE BY SIDE")
        assert not set("▏▎▍▌▋▊▉█") & set(hand.text())
        assert any(kind == "reversed" for row in hand.tool.screen.face._rows for _, kind in row)  # type: ignore[attr-defined]

    looking(home, steps)
