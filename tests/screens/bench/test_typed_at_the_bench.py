"""What is typed or struck at the bench is kept, and the screen says that it was."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from darkroom.bench.all_plates import NEW
from darkroom.screens.app import Tool
from darkroom.screens.bench import typed_settings
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.home.plate_fields import left_fields, plate_form_of, right_fields
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.start import build
from darkroom.screens.widgets.chooser import Chooser
from darkroom.session.plate_form import PlateForm
from tests.kit.bench import Hand
from tests.kit.bench_screen import shown
from tests.kit.day import go_through_sheet
from tests.kit.letters import reads


@pytest.fixture
def tool(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tool:
    """A tool in a house of its own, with the day's sheet gone through."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    services = build(tmp_path)
    services.devices = None
    go_through_sheet(services.home, services.bench_id)
    return Tool(services)


def _close(tool: Tool) -> None:
    tool.services.close()


def test_the_next_plate_begins_with_the_reading_typed_last(tool: Tool) -> None:
    """A bath typed as 16 at home and as 20 at the bench later gives "new plate like the last" 20, not 16."""

    async def run() -> None:
        async with tool.run_test() as pilot:
            tool.offer(PlateForm(process="tintype", temperatures={"bath": "16"}, humidity="40"))
            await pilot.pause()
            tool.take_typed_reading("bath", 20.0)
            tool.take_typed_reading("humidity", 55.0)
            tool.again()
            await pilot.pause()
            start = tool.session.bench.plates[NEW].start
            assert start.temperatures["bath"] == (20.0, "hand")
            assert start.humidity == (55.0, "hand")
            tool.take_typed_reading("bath", None)
            tool.again()
            await pilot.pause()
            assert tool.session.bench.plates[NEW].start.temperatures.get("bath") != (16.0, "hand")

    asyncio.run(run())
    _close(tool)


def test_the_open_form_takes_a_reading_typed_in_its_menu(tool: Tool) -> None:
    """The form at home shows the bath that was typed in the menu over it."""

    async def run() -> None:
        async with tool.run_test() as pilot:
            await pilot.pause()
            home = tool.screen
            assert isinstance(home, HomeScreen)
            tool.take_typed_reading("bath", 18.5)
            assert home.values["temperature bath"] == "18.5"
            assert plate_form_of(home.values, home.read_at).temperatures["bath"] == "18.5"

    asyncio.run(run())
    _close(tool)


def test_the_readings_tell_what_the_plate_reckons_with(tool: Tool) -> None:
    """Nothing read yet: the list tells the typed bath of the plate and what is assumed for the rest."""

    async def run() -> None:
        async with tool.run_test() as pilot:
            tool.offer(PlateForm(process="tintype", temperatures={"bath": "16"}))
            await pilot.pause()
            typed_settings.temperatures(tool)
            await pilot.pause()
            assert isinstance(tool.screen, Chooser)
            labels = [choice.label for choice in tool.screen.choices]
            assert "bath: 16.0 °C, hand" in labels
            assert "developer: 20.0 °C, assumed" in labels

    asyncio.run(run())
    _close(tool)


def test_a_hint_never_reads_as_its_contrary() -> None:
    """What an empty field means is said as "empty": "nothing is assumed" would say the opposite."""
    for field in (*left_fields(PlateForm(), ()), *right_fields(PlateForm(), False)):
        assert "nothing" not in field.hint
        assert len(field.hint) <= 78


@pytest.mark.parametrize(("columns", "rows"), [(200, 60), (120, 40), (80, 24), (60, 14), (30, 8)])
def test_an_answer_that_nothing_else_shows_is_written(columns: int, rows: int) -> None:
    """At every size "marked" can be read, and at the large ones the instruction stays."""
    hand = Hand()
    hand.to_stage("drain")
    text = shown(hand, 300.0, columns, rows, BenchStatus(answer="plate 1: marked"))
    assert reads("plate 1: marked", text)
    if rows >= 24:
        assert reads("Over the usual 0:15 to 0:30: press when it is done.", text)


def test_only_what_the_large_letters_do_not_show_is_written(tool: Tool) -> None:
    """A mark and "5 s earlier" are answered in writing; a step, which the letters show, is not."""

    async def run() -> None:
        async with tool.run_test() as pilot:
            tool.offer(PlateForm(process="tintype"))
            await pilot.pause()
            session = tool.session
            for zone, written in (("go", False), ("mark", True), ("earlier", True)):
                session._strike(zone, session.now())
                assert session.answer is not None and session.answer.good
                assert session.answer.written is written, zone

    asyncio.run(run())
    _close(tool)


def test_the_keys_at_home_are_whole_beside_what_does_not_work(tool: Tool) -> None:
    """On 80 columns without sound every key of the form's footer can be read, and so can the notice."""

    async def run() -> None:
        async with tool.run_test(size=(80, 24)) as pilot:
            tool.say_quietly("sound", "no sound: the bell only")
            await pilot.pause()
            home = tool.screen
            assert isinstance(home, HomeScreen)
            home.draw()
            footer = "".join(text for text, _ in home.face._rows[-1])
            assert "F8 exposure" in "".join(text for text, _ in home.face._rows[-4])
            for phrase in ("enter to the bench", "escape menu", "F2 log", "F3 sheet", "the bell only"):
                assert phrase in footer

    asyncio.run(run())
    _close(tool)


@pytest.mark.parametrize("key", ["escape", "f2"])
def test_a_look_at_the_bench_or_the_log_loses_no_word_of_the_form(tool: Tool, key: str) -> None:
    """What is typed for the next plate stands there after a look; a reading typed meanwhile is in it too."""

    async def run() -> None:
        async with tool.run_test() as pilot:
            tool.offer(PlateForm(process="tintype", subject="mill", temperatures={"bath": "16"}))
            await pilot.pause()
            tool.home()
            await pilot.pause()
            await pilot.press("down", "x", key)
            await pilot.pause(0.2)
            tool.to_bench()
            assert tool.screen is tool.bench_screen
            assert tool.form.subject == "mill"
            tool.take_typed_reading("bath", 20.0)
            tool.home()
            await pilot.pause()
            home = tool.screen
            assert isinstance(home, HomeScreen)
            assert (home.values["subject"], home.values["temperature bath"]) == ("millx", "20")
            await pilot.press("enter")
            await pilot.pause()
            assert tool.session.bench.plates[NEW].start.subject == "millx"
            assert tool.services.memory.draft == {}

    asyncio.run(run())
    _close(tool)
