"""The day's sheet on the screen: one strike a line, readings for the plate, and the sheet at the end."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW
from darkroom.bench.working_day import working_day
from darkroom.log.days import files
from darkroom.log.days.events import Day
from darkroom.screens.bench.menu import do
from darkroom.screens.day.screen import DayScreen
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.widgets.chooser import Chooser
from darkroom.screens.widgets.prompt import Prompt
from darkroom.session.actions import BY_ID
from darkroom.session.plate_form import PlateForm
from tests.kit.day import go_through_sheet
from tests.kit.review_hand import Looker, looking, make_sensitive, put_plate


async def strike(hand: Looker, *keys: str) -> None:
    """Strike keys, each a strike of its own, and let the screen follow."""
    for key in keys:
        await hand.later(0.8)
        await hand.press(key)
        await hand.later(0.1)
        await hand.pilot.pause(0.05)


async def until_on(hand: Looker, kind: type) -> None:
    """Wait until a screen of this kind stands above all others."""
    for _ in range(1000):
        if isinstance(hand.tool.screen, kind) and hand.tool.screen.is_mounted:
            return
        await hand.pilot.pause(0.02)
    raise AssertionError(f"never shown; the screen is {hand.tool.screen}")


async def until_off(hand: Looker, kind: type) -> None:
    """Wait until no screen of this kind stands above all others."""
    for _ in range(1000):
        if not isinstance(hand.tool.screen, kind):
            return
        await hand.pilot.pause(0.02)
    raise AssertionError(f"still shown: {kind.__name__}")


def sheet_of(hand: Looker) -> DayScreen:
    """Return the sheet that is shown."""
    screen = hand.tool.screen
    assert isinstance(screen, DayScreen)
    return screen


def saved(hand: Looker, home: Path) -> Day:
    """Return the day as its file tells it, once all is written."""
    services = hand.tool.services
    assert services.day_book.close(5.0)
    day, problems = files.read_day(home, working_day(services.now_at()), services.bench_id)
    assert problems == []
    return day


def test_one_strike_ticks_one_line(home: Path) -> None:
    """Each strike ticks the line under the hand, with its hour, and moves to the next open one."""

    async def steps(hand: Looker) -> None:
        hand.tool.offer(PlateForm(process="tintype"))
        await until_on(hand, DayScreen)
        sheet = sheet_of(hand)
        first, second, third = sheet.lines[:3]
        await strike(hand, "space", "x")
        assert set(sheet.day.seen) == {first, second} and sheet.lines[sheet.current] == third
        assert "2 of 13 seen to" in hand.text() and hand.text().count("seen to ") >= 2
        await strike(hand, "up", "space")
        assert set(sheet.day.seen) == {first, second} and sheet.lines[sheet.current] == third
        await strike(hand, "end", "space")
        await hand.pilot.pause(0.1)
        assert NEW in hand.tool.session.bench.plates
        day = saved(hand, home)
        assert set(day.seen) == {first, second} and day.begun and third in day.shown

    looking(home, steps, text=None)


def test_a_handful_ticks_one_line(home: Path) -> None:
    """A handful of keys of go is one strike, and ticks one line."""

    async def steps(hand: Looker) -> None:
        hand.tool.offer(PlateForm(process="tintype"))
        await until_on(hand, DayScreen)
        await hand.later(0.8)
        await hand.press("x", "c", "v")
        await hand.later(0.1)
        await hand.pilot.pause(0.05)
        assert len(sheet_of(hand).day.seen) == 1

    looking(home, steps, text=None)


def test_what_is_asked_goes_to_the_plate(home: Path) -> None:
    """The room's temperature and how dry the air is are typed or chosen, and the plate begins with them."""

    async def steps(hand: Looker) -> None:
        hand.tool.offer(PlateForm(process="tintype"))
        await until_on(hand, DayScreen)
        sheet = sheet_of(hand)
        sheet.current = sheet.lines.index("room")
        await strike(hand, "space")
        await until_on(hand, Prompt)
        await hand.type("66 F")
        await strike(hand, "enter")
        await until_on(hand, DayScreen)
        sheet.current = sheet.lines.index("air")
        await strike(hand, "space")
        await until_on(hand, Chooser)
        await strike(hand, "down", "down", "space")
        await until_on(hand, DayScreen)
        assert (sheet.day.values["room"], sheet.day.values["air"]) == ("18.9 °C", "dry (30 %)")
        await strike(hand, "end", "space")
        await hand.pilot.pause(0.1)
        start = hand.tool.session.bench.plates[NEW].start
        assert start.humidity == (30.0, "hand: dry")
        value, origin = start.temperatures["room"]
        assert origin == "hand" and value == pytest.approx((66 - 32) / 1.8, abs=0.01)

    looking(home, steps, text=None)


def test_it_is_shown_once_a_day_and_again_for_what_is_new(home: Path) -> None:
    """The next plate of the same kind brings no sheet; the first with cyanide brings its line."""

    async def steps(hand: Looker) -> None:
        tool = hand.tool
        tool.offer(PlateForm(process="tintype"))
        await until_on(hand, DayScreen)
        assert "cyanide" not in sheet_of(hand).lines
        await strike(hand, "end", "space")
        await until_off(hand, DayScreen)
        tool.take_off_new()
        tool.offer(PlateForm(process="clear-glass"))
        await hand.pilot.pause(0.1)
        assert NEW in tool.session.bench.plates
        tool.take_off_new()
        tool.offer(PlateForm(process="tintype-cyanide"))
        await until_on(hand, DayScreen)
        assert "cyanide" in sheet_of(hand).lines

    looking(home, steps, text=None)


def test_it_is_never_shown_while_a_plate_is_on_the_bench(home: Path) -> None:
    """With a plate in the bath a second one comes without the sheet, and F3 at home says why not."""

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        await make_sensitive(hand)
        hand.tool.offer(PlateForm(process="tintype"))
        await hand.pilot.pause(0.1)
        assert NEW in hand.tool.session.bench.plates and hand.tool.screen is hand.tool.bench_screen
        hand.tool.home()
        await hand.wait("to the bench")
        await hand.press("f3")
        await hand.wait("the day's sheet waits until no plate is on the bench")
        assert isinstance(hand.tool.screen, HomeScreen)

    looking(home, steps, text=None)


def test_leaving_an_empty_bench_offers_the_closing_sheet(home: Path) -> None:
    """Once a day that was begun; gone through, it is kept as closed and the tool is left."""

    async def steps(hand: Looker) -> None:
        left: list[bool] = []
        hand.tool.leave = lambda: left.append(True)  # type: ignore[method-assign]
        do(hand.tool, BY_ID["leave"], None)
        assert left == [True]
        go_through_sheet(home, hand.tool.services.bench_id)
        do(hand.tool, BY_ID["leave"], None)
        await until_on(hand, DayScreen)
        await hand.wait("AFTER THE LAST PLATE")
        assert left == [True]
        await strike(hand, "space", "escape")
        await until_off(hand, DayScreen)
        assert left == [True]
        do(hand.tool, BY_ID["leave"], None)
        await until_on(hand, DayScreen)
        await strike(hand, "end", "space")
        await until_off(hand, DayScreen)
        assert left == [True, True]
        day = saved(hand, home)
        assert day.closed is not None and list(day.seen) == ["bottles-capped"]

    looking(home, steps, text=None)


def test_leaving_with_a_plate_on_the_bench_asks_for_no_sheet(home: Path) -> None:
    """A plate in the bath is left as ever: no closing sheet stands in the way."""

    async def steps(hand: Looker) -> None:
        go_through_sheet(home, hand.tool.services.bench_id)
        put_plate(hand.tool)
        hand.tool.session.intend(want.Go(plate="20260301-120000-abc123", number=1))
        assert not hand.tool.day_sheet(leaving=True)

    looking(home, steps, text=None)


def test_a_wrong_sheet_of_ones_own_is_said_and_the_shipped_one_shown(home: Path) -> None:
    """A mistake in the own file never leaves the day without a sheet."""
    own = home / "profiles" / "day" / "day.yaml"
    own.parent.mkdir(parents=True)
    own.write_text("befor: []\nafter: []\n")

    async def steps(hand: Looker) -> None:
        hand.tool.offer(PlateForm(process="tintype"))
        await until_on(hand, DayScreen)
        assert "goggles" in sheet_of(hand).lines
        assert "the shipped sheet is shown" in (hand.tool.notice or "")

    looking(home, steps, text=None)


def test_a_rehearsal_has_no_sheet_and_writes_no_day(home: Path) -> None:
    """A rehearsal goes straight to its bench, and what is confirmed there is not kept."""
    import asyncio

    from darkroom.resources import load_process
    from darkroom.screens.app import Tool
    from darkroom.screens.start import build
    from darkroom.session.liquids import Liquids
    from darkroom.session.rehearsal import Rehearsal

    async def run() -> None:
        process = load_process("tintype-cyanide")
        liquids = Liquids(0.0, dict(process.temperatures), seed=1, humidity=50.0)
        services = build(home, Rehearsal(speed=20.0, guided=False, liquids=liquids))
        services.devices = None
        services.opening.plate = PlateForm(process="tintype-cyanide"), process
        tool = Tool(services)
        try:
            async with tool.run_test() as pilot:
                for _ in range(1000):
                    if isinstance(tool.screen, Chooser):
                        break
                    await pilot.pause(0.02)
                assert isinstance(tool.screen, Chooser) and "yanide" in tool.screen.heading
                tool.screen.dismiss("yes")
                await pilot.pause(0.1)
                assert NEW in tool.session.bench.plates
        finally:
            services.close()

    asyncio.run(run())
    assert not (home / "days").exists()
