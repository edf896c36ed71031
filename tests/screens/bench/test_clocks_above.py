"""A menu, a list or a question hides no clock; its rows keep their places, and what is typed can be seen."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest

from darkroom.bench import intents as want
from darkroom.bench.view import bench_view
from darkroom.screens.app import Tool
from darkroom.screens.bench.menu import open_menu
from darkroom.screens.start import build
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.screens.widgets.clock_strip import clock_rows
from darkroom.screens.widgets.plate_summary import LIGHT_WORDS, large_time_text
from darkroom.screens.widgets.prompt import Prompt
from darkroom.session.actions import MENU
from darkroom.session.plate_form import celsius
from tests.kit.bench import Hand
from tests.kit.letters import large_text_is_shown
from tests.kit.review_hand import Looker, make_sensitive, put_plate

SIZES = [(60, 18), (80, 24), (100, 30), (120, 40), (200, 60)]
MOMENTS = [
    ("sensitise", 100.0),
    ("sensitise", 262.0),
    ("drain", 250.0),
    ("ready", 261.0),
    ("lead_in", 264.0),
    ("expose", 264.0),
    ("exposed", 900.0),
    ("exposed", 830.0),
    ("develop", 280.0),
    ("fix", 330.0),
]


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize(("stage", "now"), MOMENTS)
def test_the_clocks_above_a_dialog_can_be_read(stage: str, now: float, columns: int, rows: int) -> None:
    """Word, time, light and both times stand in a few rows at every size."""
    hand = Hand()
    hand.to_stage(stage)
    view = bench_view(hand.bench, now)
    assert view.large is not None
    drawn = clock_rows(view, columns, rows)
    text = "\n".join("".join(part for part, _ in row) for row in drawn)
    assert len(drawn) <= max(5, rows // 4) and {sum(len(part) for part, _ in row) for row in drawn} == {
        columns
    }
    word = view.large.word.text.upper()
    assert word in text or large_text_is_shown(text, word, columns, range(3, 9), squeezed=True), text
    assert large_text_is_shown(
        text, large_time_text(view.large.large_time), columns, range(3, 9), squeezed=True
    ), text
    assert LIGHT_WORDS[view.light] in text or "RED NEXT" in text
    if view.large.wet is not None:
        assert "wet " in text or "WET" in text or "BACK NOW" in text
        assert "assumed" in text or view.large.wet.past


def at_the_bench(home: Path, then: Callable[[Looker], Awaitable[None]], size: tuple[int, int]) -> None:
    """Run the tool with a plate in the bath."""

    async def run() -> None:
        services = build(home)
        services.devices = None
        tool = Tool(services)
        try:
            async with tool.run_test(size=size) as pilot:
                await pilot.pause()
                hand = Looker(tool, pilot)
                put_plate(tool)
                tool.to_bench()
                await make_sensitive(hand)
                await then(hand)
        finally:
            services.close()

    asyncio.run(run())


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 18)])
def test_the_menu_shows_all_of_it_below_the_clocks(home: Path, size: tuple[int, int]) -> None:
    """Every row of the menu stands on one screen, and the large word of the plate above them."""

    async def steps(hand: Looker) -> None:
        open_menu(hand.tool)
        await hand.pilot.pause()
        text = hand.text()
        assert all(action.label[: size[0] // 2 - 5] in text for action in MENU), text
        assert (
            large_text_is_shown(text, "SENSITISE", size[0], range(3, 9), squeezed=True) or "SENSITISE" in text
        )
        assert "SAFELIGHT" in text

    at_the_bench(home, steps, size)


def test_the_clocks_above_a_question_go_on(home: Path) -> None:
    """The time above an open line to type in is another a few seconds later."""

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(Prompt("Note on this plate"))
        await hand.pilot.pause()
        before = hand.rows()[:5]
        await hand.later(7.0)
        await hand.wait(lambda text: text.splitlines()[:5] != [row.rstrip() for row in before])

    at_the_bench(home, steps, (80, 24))


def test_rows_keep_their_places_and_dead_ones_say_why(home: Path) -> None:
    """Down four times lands on the fifth row, dead rows or not; a dead one is not chosen and says why."""

    async def steps(hand: Looker) -> None:
        answers: list[str | None] = []
        rows = [
            Choice(str(n), f"row {n}", why_not="the rack is empty" if n in (1, 3) else None) for n in range(6)
        ]
        chooser = Chooser("Which?", rows)
        hand.tool.push_screen(chooser, answers.append)
        await hand.pilot.pause()
        chooser._struck("down")
        assert chooser._struck("go")
        assert chooser.help == "row 1: the rack is empty" and answers == []
        for _ in range(3):
            chooser._struck("down")
        assert chooser.highlighted == 4
        chooser.draw()
        assert sum("the rack is empty" in row for row in hand.rows()) == 2

    at_the_bench(home, steps, (80, 24))


def test_what_is_typed_stands_in_a_line_that_looks_like_one(home: Path) -> None:
    """The line is lit from end to end, with the words in it; a mistake is told below and keeps it open."""

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(Prompt("Bath temperature, in °C", "", "What the thermometer says.", celsius))
        await hand.pilot.pause()
        await hand.type("warm")
        line = next(row for row in hand.tool.screen.face._rows if any("warm" in text for text, _ in row))  # type: ignore[attr-defined]
        assert sum(len(text) for text, meaning in line if meaning == "reversed") >= 60
        await hand.press("enter")
        assert "expected" in hand.text() and isinstance(hand.tool.screen, Prompt)

    at_the_bench(home, steps, (80, 24))


def test_every_setting_is_answered(home: Path) -> None:
    """Exposure, wet time and a reading that were set are told on the bench in so many words."""

    async def steps(hand: Looker) -> None:
        tool = hand.tool
        tool.intend(want.SetWetTime(720.0))
        assert tool.session.answer is not None
        assert (tool.session.answer.text, tool.session.answer.written) == ("wet time 12:00", True)
        await hand.later(1.0)
        await hand.press("escape")
        await hand.wait("Temperatures and humidity")
        chooser = tool.screen
        assert isinstance(chooser, Chooser)
        chooser._struck("down")
        chooser.dismiss("temperatures")
        await hand.wait("bath: 20.0")
        readings = tool.screen
        assert isinstance(readings, Chooser)
        readings.dismiss("bath")
        await hand.wait("Bath temperature")
        await hand.type("18.5")
        await hand.press("enter")
        assert tool.session.answer.text == "bath 18.5 °C"

    at_the_bench(home, steps, (80, 24))
