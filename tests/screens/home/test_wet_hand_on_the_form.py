"""What a wet hand presses on the form changes no choice: not go, and not what is left of another strike."""

from __future__ import annotations

import asyncio
from pathlib import Path

from darkroom.resources import load_process, profiles_dir
from darkroom.screens.app import Tool
from darkroom.screens.home.plate_fields import CHANGED_BY, process_text
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.start import build
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.session.plate_form import PlateForm
from tests.kit.clocks import HandClock
from tests.kit.review_hand import Looker, looking


def form_of(tool: Tool) -> HomeScreen:
    """Return the form that is shown."""
    screen = tool.screen
    assert isinstance(screen, HomeScreen)
    return screen


def test_go_changes_no_choice_and_the_form_says_what_does(home: Path) -> None:
    """Keys of go leave process and exposure's yes or no as they are; left and right change them."""

    async def steps(hand: Looker) -> None:
        await hand.wait("made by")
        form = form_of(hand.tool)
        for field in ("process", "timed"):
            while form.form.current.id != field:
                await hand.press("down")
            before = form.values[field]
            for key in ("space", "x", "m"):
                await hand.press(key)
                assert form.values[field] == before and CHANGED_BY in hand.text()
            await hand.press("right")
            assert form.values[field] != before and CHANGED_BY not in hand.text()

    looking(home, steps, text=None)


def test_what_is_left_of_the_answer_no_types_nothing(home: Path) -> None:
    """A press held or bouncing after it answered a list reaches no field; 0.7 s later the key types."""

    async def run() -> None:
        services = build(home)
        services.devices = None
        tool = Tool(services)
        try:
            async with tool.run_test() as pilot:
                await pilot.pause()
                clock = HandClock(*(getattr(tool.session.real_clock, n)() for n in ("up", "awake", "wall")))
                for name in ("up", "awake", "wall"):
                    setattr(tool.session.real_clock, name, getattr(clock, name))
                form = form_of(tool)
                form.form.go_to(1)
                question = Chooser("Sure?", [Choice("no", "No"), Choice("yes", "Yes", sure=True)])
                tool.push_screen(question)
                await pilot.pause()
                clock.move(1.0)
                await pilot.press("x")
                clock.move(0.06)
                while tool.screen is question:
                    await pilot.pause(0.02)
                for key, after in (("c", 0.05), ("x", 0.3), ("x", 0.5), ("x", 0.6)):
                    clock.move(after)
                    await pilot.press(key)
                    await pilot.pause()
                assert form.values["subject"] == ""
                clock.move(0.71)
                await pilot.press("x")
                await pilot.press("x")
                await pilot.pause()
                assert form.values["subject"] == "xx"
        finally:
            services.close()

    asyncio.run(run())


def test_a_process_given_by_its_path_shows_its_name(home: Path, tmp_path: Path) -> None:
    """The field shows what the file calls itself; a path that cannot be read stands as it is."""
    path = tmp_path / "deep" / "mine.yaml"
    path.parent.mkdir()
    path.write_text((profiles_dir() / "tintype.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    name = load_process("tintype").name

    async def steps(hand: Looker) -> None:
        await hand.wait(f"‹ {name} ›")
        assert "mine.yaml" not in hand.text() and form_of(hand.tool).values["process"] == str(path)

    def begin(tool: Tool) -> None:
        tool.form = PlateForm(process=str(path))

    looking(home, steps, text=None, begin=begin)
    assert process_text("no/such.yaml", lambda text: None) == "no/such.yaml"
    assert process_text("tintype", lambda text: None) == "tintype"
