"""The menu, its questions and the forms obey the key map; a pedal never says yes to cyanide."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.screen import Screen

from darkroom.bench import intents as want
from darkroom.bench import refusals
from darkroom.bench.all_plates import NEW
from darkroom.screens.app import Tool
from darkroom.screens.bench.menu import do
from darkroom.screens.day.screen import DayScreen
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.start import build
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.screens.widgets.prompt import Prompt
from darkroom.session.actions import BY_ID
from darkroom.session.plate_form import PlateForm
from tests.kit.clocks import HandClock
from tests.kit.day import go_through_sheet
from tests.kit.session import KeptVoice

ONE_PEDAL = "go: [f13]\n"


class Pedal:
    """Presses keys in the tool, each a strike of its own: the clock stands but for what a press moves it."""

    def __init__(self, tool: Tool, pilot: Pilot[Any]) -> None:
        self.tool, self.pilot = tool, pilot
        clock = tool.session.real_clock
        self.clock = HandClock(clock.up(), clock.awake(), clock.wall())
        for name in ("up", "awake", "wall"):
            setattr(clock, name, getattr(self.clock, name))

    async def press(self, key: str, after: float = 0.8) -> None:
        """Press a key `after` seconds; let its handful be decided and the screen follow."""
        self.clock.move(after)
        await self.pilot.press(key)
        await self.pilot.pause()
        self.clock.move(0.06)
        await self.pilot.pause(0.05)

    async def until(self, happened: Callable[[], bool]) -> None:
        """Wait until the screen or the bench has followed."""
        for _ in range(1000):
            if happened():
                return
            await self.pilot.pause(0.02)
        raise AssertionError(f"never happened; the screen is {self.tool.screen}")

    async def wait_for_list(self, words: str) -> Chooser:
        """Wait for the list whose heading has the words."""

        def is_shown() -> bool:
            screen = self.tool.screen
            return isinstance(screen, Chooser) and screen.is_mounted and words in screen.heading

        await self.until(is_shown)
        screen = self.tool.screen
        assert isinstance(screen, Chooser)
        return screen

    async def through_the_sheet(self) -> None:
        """Wait for the day's sheet and tick it to its end by the pedal; what is asked for is left open."""
        await self.until(lambda: isinstance(self.tool.screen, DayScreen) and self.tool.screen.is_mounted)
        sheet = self.tool.screen
        assert isinstance(sheet, DayScreen)
        for _ in range(len(sheet.lines)):
            line = sheet.lines[sheet.current]
            await self.press("down" if line in ("room", "air") else "f13")
            if line == sheet.lines[-1]:
                break
        await self.until(lambda: self.tool.screen is not sheet)

    async def new_plate(self) -> None:
        """Wait until a plate stands on the bench that waits for its first strike."""
        await self.until(lambda: NEW in self.tool.session.bench.plates)
        await self.until(lambda: self.tool.screen is self.tool.bench_screen)

    def help(self) -> str:
        """Return the line below the list."""
        screen = self.tool.screen
        assert isinstance(screen, Chooser)
        return screen.help


def at_the_bench(
    home: Path, key_map: str, then: Callable[[Pedal], Awaitable[None]], process: str = "tintype"
) -> None:
    """Open the tool with a key map and a form that has a process; do something."""
    if key_map:
        (home / "keys.yaml").write_text(key_map)

    async def run() -> None:
        services = build(home)
        services.devices = None
        services.memory.form = PlateForm(process=process)
        tool = Tool(services)
        try:
            async with tool.run_test() as pilot:
                await pilot.pause()
                await then(Pedal(tool, pilot))
        finally:
            services.close()

    asyncio.run(run())


async def open_list(pedal: Pedal, *choices: Choice) -> list[str | None]:
    """Show a list; return where its answer will stand."""
    answers: list[str | None] = []
    pedal.tool.push_screen(Chooser("Which?", choices), answers.append)
    await pedal.wait_for_list("Which?")
    await pedal.pilot.pause()
    return answers


def test_one_pedal_puts_a_plate_on_the_bench_by_the_menu(home: Path) -> None:
    """Escape, then the pedal alone: it chooses "New plate like the last" and ticks the day's sheet."""

    async def steps(pedal: Pedal) -> None:
        await pedal.press("escape")
        await pedal.wait_for_list("Menu")
        await pedal.press("f13")
        await pedal.through_the_sheet()
        await pedal.new_plate()
        await pedal.press("f13")
        await pedal.until(lambda: pedal.tool.session.bench.large != NEW)

    at_the_bench(home, ONE_PEDAL, steps)


def test_the_voice_says_the_chosen_row(home: Path) -> None:
    """The heading with the first row, each row moved to, tell says it again, go what it must not do."""

    async def steps(pedal: Pedal) -> None:
        kept = KeptVoice()
        pedal.tool.session.answers._voice = kept
        rows = (Choice("a", "Keep it"), Choice("b", "Plate 3, jug", why_not="the rack is empty"),
                Choice("c", "Yes, confirmed", sure=True))  # fmt: skip
        await open_list(pedal, *rows)
        await pedal.press("down")
        await pedal.press("down")
        await pedal.press("f14")
        await pedal.press("f13")
        assert [(cue.say, cue.instead) for cue in kept.played] == [
            (("Which?", "Keep it"), ("line 1",)),
            (("Plate 3, jug", "the rack is empty"), ("line 2",)),
            (("Yes, confirmed",), ("line 3",)),
            (("Yes, confirmed",), ("line 3",)),
            (("go does not choose this", "enter does"), ()),
        ]

    at_the_bench(home, "go: [f13]\ntell: [f14]\n", steps)


def test_a_pedal_never_confirms_cyanide(home: Path) -> None:
    """Go does not say yes to a `confirm`; the screen names enter, which does once the row is moved to."""

    async def steps(pedal: Pedal) -> None:
        await pedal.press("escape")
        await pedal.wait_for_list("Menu")
        await pedal.press("f13")
        await pedal.through_the_sheet()
        confirm = await pedal.wait_for_list("yanide")
        assert pedal.help() == "“Yes, confirmed” is chosen by enter alone, after moving to it."
        await pedal.press("down")
        await pedal.press("f13")
        assert pedal.tool.screen is confirm and NEW not in pedal.tool.session.bench.plates
        assert pedal.help() == "Go does not choose this: enter does."
        await pedal.press("enter")
        await pedal.new_plate()

    at_the_bench(home, ONE_PEDAL, steps, "tintype-cyanide")


def test_a_pedal_that_types_enter_does_not_confirm_either(home: Path) -> None:
    """Where the key map gives enter to go, another key confirms, and the screen names it."""

    async def steps(pedal: Pedal) -> None:
        answers = await open_list(pedal, Choice("no", "No"), Choice("yes", "Yes", sure=True))
        await pedal.press("down")
        await pedal.press("enter")
        await pedal.until(lambda: pedal.help() == "Go does not choose this: y does.")
        assert answers == []
        await pedal.press("y")
        await pedal.until(lambda: answers == ["yes"])

    at_the_bench(home, "go: [enter]\n", steps)


@pytest.mark.parametrize("key", ["space", "x", "c", "v", "b", "n", "m", "comma", "enter"])
def test_the_default_keys_of_go_choose_and_so_does_enter(home: Path, key: str) -> None:
    """Without a key map file every key of go chooses a row, and enter too."""

    async def steps(pedal: Pedal) -> None:
        answers = await open_list(pedal, Choice("one", "One"), Choice("two", "Two"))
        await pedal.press(key)
        await pedal.until(lambda: answers == ["one"])

    at_the_bench(home, "", steps)


def test_zones_of_the_key_map_move_and_go_back(home: Path) -> None:
    """Keys given to right and left move, as the arrows, home and end do; keys of undo and menu close."""

    async def steps(pedal: Pedal) -> None:
        rows = [Choice(str(number), str(number)) for number in range(4)]
        for key, answer in (("f14", None), ("q", None), ("f13", "0")):
            answers = await open_list(pedal, *rows)
            screen = pedal.tool.screen
            assert isinstance(screen, Chooser)
            seen = []
            for move in ("f15", "end", "f16", "home", "down", "right", "left", "up"):
                await pedal.press(move)
                seen.append(screen.highlighted)
            assert seen == [1, 3, 2, 0, 1, 2, 1, 0]
            await pedal.press("space")
            assert pedal.help() == "that key does nothing here"
            await pedal.press(key)
            await pedal.until(lambda: pedal.tool.screen is not screen)  # noqa: B023  # waited for at once
            await pedal.until(lambda: len(answers) > 0)  # noqa: B023  # the answer follows the closing
            assert answers == [answer]

    at_the_bench(home, "go: f13\nundo: f14\nmenu: [q, escape]\nright: f15\nleft: f16\n", steps)


def test_a_held_pedal_chooses_once(home: Path) -> None:
    """The repeats of a held pedal neither tick the sheet that follows nor begin the plate."""

    async def steps(pedal: Pedal) -> None:
        await pedal.press("escape")
        await pedal.wait_for_list("Menu")
        await pedal.press("f13")
        await pedal.until(lambda: isinstance(pedal.tool.screen, DayScreen) and pedal.tool.screen.is_mounted)
        for _ in range(10):
            await pedal.press("f13", after=0.3)
        assert isinstance(pedal.tool.screen, DayScreen) and not pedal.tool.screen.day.seen
        await pedal.press("end")
        await pedal.press("f13")
        await pedal.new_plate()
        for _ in range(10):
            await pedal.press("f13", after=0.3)
        assert pedal.tool.session.bench.large == NEW

    at_the_bench(home, ONE_PEDAL, steps)


def _top(pedal: Pedal) -> Screen[Any]:
    """Return the screen that takes the keys now."""
    return pedal.tool.screen


def test_a_pedal_is_enter_where_words_are_typed(home: Path) -> None:
    """A pedal keeps a typed line, yet one still held when the line opens does not keep it empty."""

    async def steps(pedal: Pedal) -> None:
        given: list[str | None] = []
        pedal.tool.push_screen(Prompt("Note"), given.append)
        await pedal.pilot.pause()
        for key in ("b", "space", "f13"):
            await pedal.press(key)
        await pedal.until(lambda: given == ["b"])
        await open_list(pedal, Choice("one", "One"))
        await pedal.press("f13")
        pedal.tool.push_screen(Prompt("Note"), given.append)
        await pedal.pilot.pause()
        await pedal.press("f13", after=0.3)
        assert isinstance(_top(pedal), Prompt)
        await pedal.press("f14")
        await pedal.until(lambda: given == ["b", None])

    at_the_bench(home, "go: [f13, space]\nundo: [f14]\n", steps)


def test_a_pedal_is_enter_on_the_home_form(home: Path) -> None:
    """The pedal puts the plate on the bench from the form; a key of go that types is typed."""

    async def steps(pedal: Pedal) -> None:
        screen = _top(pedal)
        assert isinstance(screen, HomeScreen)
        await pedal.press("down")
        await pedal.press("b")
        assert screen.values["subject"] == "b"
        await pedal.press("f13")
        await pedal.through_the_sheet()
        await pedal.new_plate()

    at_the_bench(home, "go: [f13, b]\n", steps)


def test_what_the_bench_has_come_to_refuse_is_refused_before_anything_is_typed(home: Path) -> None:
    """The lens opens while the menu stands over the bench: "set the exposure" says so and opens no line."""

    async def steps(pedal: Pedal) -> None:
        tool = pedal.tool
        go_through_sheet(tool.services.home, tool.services.bench_id)
        tool.offer(PlateForm(process="tintype", exposure="20 s"))
        await pedal.new_plate()
        while tool.session.bench.shown is None or tool.session.bench.shown.stage.name != "expose":
            await pedal.press("space", after=2.0)
            for _ in range(400):
                state = tool.session.bench.shown
                if state is None or state.stage.ends != "on_time":
                    break
                pedal.clock.move(0.9)
                tool.session.tick()
        await pedal.press("escape", after=2.0)
        menu = await pedal.wait_for_list("Menu")
        assert {row.id: row.why_not for row in menu.choices}["plan"] is None
        tool.session.intend(want.Go())
        tool.session.intend(want.Go())
        do(tool, BY_ID["plan"], tool.session.bench.large)
        await pedal.until(lambda: tool.screen is tool.bench_screen)
        assert tool.session.answer is not None and tool.session.answer.text == refusals.EXPOSURE_MADE

    at_the_bench(home, "", steps)
