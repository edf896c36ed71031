"""No plate stands on the bench before its questions are answered, whichever way it gets there."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, Bench, with_new
from darkroom.bench.decide_all import decide_intent
from darkroom.bench.intents import Cause
from darkroom.resources import load_process
from darkroom.screens.app import Tool
from darkroom.screens.day.screen import DayScreen
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.start import build
from darkroom.screens.widgets.chooser import Chooser
from darkroom.session.cautions import to_confirm
from darkroom.session.plate_form import PlateForm, plate_from
from tests.kit.day import go_through_sheet

CYANIDE = "tintype-cyanide"


async def until(pilot: Pilot[Any], happened: Callable[[], bool]) -> None:
    """Wait until the screen has followed."""
    for _ in range(1000):
        if happened():
            return
        await pilot.pause(0.02)
    raise AssertionError(f"never happened; the screen is {pilot.app.screen}")


async def wait_for_list(tool: Tool, pilot: Pilot[Any], heading: str) -> Chooser:
    """Wait for the list whose heading has the words."""

    def is_shown() -> bool:
        screen = tool.screen
        return isinstance(screen, Chooser) and screen.is_mounted and heading in screen.heading

    await until(pilot, is_shown)
    screen = tool.screen
    assert isinstance(screen, Chooser)
    return screen


def opened_with(
    home: Path,
    process: str,
    then: Callable[[Tool, Pilot[Any]], Awaitable[None]],
    *,
    sheet_seen: bool = False,
) -> None:
    """Open the tool as `darkroom bench PROCESS` does, and do something."""

    async def run() -> None:
        services = build(home)
        services.devices = None
        form = PlateForm(process=process)
        services.memory.form, services.opening.plate = form, (form, load_process(process))
        if sheet_seen:
            go_through_sheet(services.home, services.bench_id)
        tool = Tool(services)
        try:
            async with tool.run_test() as pilot:
                await then(tool, pilot)
        finally:
            services.close()

    asyncio.run(run())


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A house of the test's own."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path


def test_a_plate_of_the_command_line_waits_for_the_sheet_and_cyanide(home: Path) -> None:
    """The day's sheet comes first, then the question, and after its yes the plate stands on the bench."""

    async def steps(tool: Tool, pilot: Pilot[Any]) -> None:
        await until(pilot, lambda: isinstance(tool.screen, DayScreen) and tool.screen.is_mounted)
        assert NEW not in tool.session.bench.plates
        tool.screen.dismiss(True)
        question = await wait_for_list(tool, pilot, "yanide")
        assert NEW not in tool.session.bench.plates
        question.dismiss("yes")
        await until(pilot, lambda: NEW in tool.session.bench.plates)
        assert tool.screen is tool.bench_screen

    opened_with(home, CYANIDE, steps)


def test_the_strike_that_begins_the_plate_carries_the_answer(home: Path) -> None:
    """A key on the bench writes `acknowledged` for the question that was answered."""

    async def steps(tool: Tool, pilot: Pilot[Any]) -> None:
        (await wait_for_list(tool, pilot, "yanide")).dismiss("yes")
        await until(pilot, lambda: NEW in tool.session.bench.plates)
        await pilot.press("space")
        await until(pilot, lambda: NEW not in tool.session.bench.plates)
        (state,) = tool.session.bench.on_bench
        assert tool.services.journal_writer.flush(5.0)
        (journal,) = home.glob("plates/*/*/*.jsonl")
        text = journal.read_text(encoding="utf-8")
        assert text.count('"event":"acknowledged"') == len(to_confirm(state.process)) == 1

    opened_with(home, CYANIDE, steps, sheet_seen=True)


def test_no_keeps_the_plate_off_and_opens_the_form(home: Path) -> None:
    """The first row is No: a plain strike on the question puts nothing on the bench and opens the form."""

    async def steps(tool: Tool, pilot: Pilot[Any]) -> None:
        question = await wait_for_list(tool, pilot, "yanide")
        assert question.choices[0].id == "no"
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(tool.screen, HomeScreen))
        assert not tool.session.bench.plates

    opened_with(home, CYANIDE, steps, sheet_seen=True)


def test_going_back_from_the_sheet_opens_the_form(home: Path) -> None:
    """A sheet that was not gone through puts nothing on the bench, and is shown again next time."""

    async def steps(tool: Tool, pilot: Pilot[Any]) -> None:
        await until(pilot, lambda: isinstance(tool.screen, DayScreen) and tool.screen.is_mounted)
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(tool.screen, HomeScreen))
        assert not tool.session.bench.plates
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(tool.screen, DayScreen))

    opened_with(home, "tintype", steps)


def test_nothing_is_written_as_acknowledged_that_was_not_answered() -> None:
    """The first strike of a plate whose question was not answered writes no `acknowledged`."""
    process = load_process(CYANIDE)
    start = plate_from(
        PlateForm(process=CYANIDE),
        process,
        number=1,
        bench="b",
        boot="c",
        at="2026-01-01T12:00:00.000+00:00",
        up=1.0,
    )
    bench = with_new(Bench(), start, 1.0)
    cause = Cause("2026-01-01T12:00:05.000+00:00", 5.0)
    decision = decide_intent(bench, want.Go("plate-1", 1), cause)
    kinds = [type(line) for _, group in decision.events for line in group]
    assert ev.PlateStarted in kinds and ev.Acknowledged not in kinds


def test_no_beside_a_plate_on_the_bench_leaves_the_bench(home: Path) -> None:
    """A plate that came back stays on its bench after a No: no form opens, and no second plate is there."""

    async def steps(tool: Tool, pilot: Pilot[Any]) -> None:
        (await wait_for_list(tool, pilot, "yanide")).dismiss("no")
        await until(pilot, lambda: isinstance(tool.screen, HomeScreen))
        tool.offer(PlateForm(process="tintype"))
        await until(pilot, lambda: NEW in tool.session.bench.plates)
        tool.session.intend(want.Go("20260301-120000-abc123", 1))
        before_plate = tool.before_plate
        form = PlateForm(process=CYANIDE)
        before_plate.put_on(form, load_process(CYANIDE), tool._first_plate_declined)
        (await wait_for_list(tool, pilot, "yanide")).dismiss("no")
        await until(pilot, lambda: tool.screen is tool.bench_screen)
        assert set(tool.session.bench.plates) == {"20260301-120000-abc123"}

    opened_with(home, CYANIDE, steps, sheet_seen=True)


def test_like_the_last_asks_what_does_not_stand(home: Path) -> None:
    """ "New plate like the last" asks about cyanide where nobody answered today, and not where one did."""

    async def steps(tool: Tool, pilot: Pilot[Any]) -> None:
        (await wait_for_list(tool, pilot, "yanide")).dismiss("no")
        await until(pilot, lambda: isinstance(tool.screen, HomeScreen))
        tool.again()
        (await wait_for_list(tool, pilot, "yanide")).dismiss("yes")
        await until(pilot, lambda: NEW in tool.session.bench.plates)
        tool.take_off_new()
        tool.again()
        await until(pilot, lambda: NEW in tool.session.bench.plates)
        assert tool.screen is tool.bench_screen

    opened_with(home, CYANIDE, steps, sheet_seen=True)
