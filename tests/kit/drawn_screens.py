"""A screen of the real tool as cells: its own log, a clock that stands, no devices, the same each time."""

from __future__ import annotations

import asyncio
import os
import tempfile
import time
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from unittest import mock

from rich.color import Color
from rich.terminal_theme import DEFAULT_TERMINAL_THEME
from textual.pilot import Pilot

from darkroom.screens import start
from darkroom.screens.app import Tool
from tests.kit.clocks import HandClock
from tests.kit.svg import Cell

COLUMNS, ROWS = 100, 30
NOW = datetime.fromisoformat("2026-05-14T14:30:00+02:00")
"""The instant at which the clock of the drawn screens stands, until it is moved."""
SURROUNDINGS = {
    "TERM": "xterm-256color", "COLORTERM": "truecolor", "LC_ALL": "C.UTF-8",
    "TZ": "CET-1CEST,M3.5.0,M10.5.0/3",
}  # fmt: skip
PATIENCE = 60.0


class Drawer:
    """The tool without a terminal: keys in, cells out, time as it is moved."""

    def __init__(self, tool: Tool, pilot: Pilot[object], clock: HandClock) -> None:
        """Draw what this tool shows."""
        self.tool, self.pilot, self.clock = tool, pilot, clock

    def pass_time(self, seconds: float) -> None:
        """Let time pass at the bench, decided as it passes; steps under a second are no stall."""
        while seconds > 0:
            step = min(0.9, seconds)
            seconds -= step
            self.clock.move(step)
            self.tool.session.tick()

    async def press(self, *keys: str) -> None:
        """Press keys, one after the other."""
        await self.pilot.press(*keys)
        await self.pilot.pause()

    async def wait(self, holds: str | Callable[[], bool]) -> None:
        """Wait until the screen tells the words, or something holds."""
        until = time.monotonic() + PATIENCE
        while not (holds() if callable(holds) else holds in self.text()):
            assert time.monotonic() < until, f"waited in vain for {holds!r}:\n{self.text()}"
            await self.pilot.pause(0.02)

    def text(self) -> str:
        """Return what stands on the screen, row by row."""
        return "\n".join("".join(cell.text for cell in row).rstrip() for row in self.cells())

    def cells(self) -> list[list[Cell]]:
        """Return the screen cell by cell, in the colours in which it is shown."""
        own = ("000000", "ffffff") if self.tool.day else ("000000", "000000")
        found = []
        for strip in self.tool.screen._compositor.render_strips():
            row: list[Cell] = []
            for segment in strip:
                style = segment.style
                fore = _rgb(style.color if style else None, own[0])
                back = _rgb(style.bgcolor if style else None, own[1])
                if style is not None and style.reverse:
                    fore, back = back, fore
                row += [Cell(sign, fore, back) for sign in segment.text]
            found.append(row)
        return found


def _rgb(colour: Color | None, own: str) -> str:
    """Return a colour as RRGGBB."""
    if colour is None or colour.is_default:
        return own
    return "".join(f"{part:02x}" for part in colour.get_truecolor(DEFAULT_TERMINAL_THEME))


@contextmanager
def surroundings(folder: Path) -> Iterator[Path]:
    """Pin what the tool reads of its machine, with all its folders in `folder`; yield that of the log."""
    home, state = folder / "home", folder / "state"
    for path in (home, state):
        path.mkdir(mode=0o700)
    pinned = {**SURROUNDINGS, "DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(state)}
    with (
        mock.patch.dict(os.environ, pinned),
        mock.patch("platformdirs.user_state_path", lambda *_, **__: state / "darkroom"),
        mock.patch("darkroom.log.store.paths.MEMORY", folder / "memory"),
    ):
        time.tzset()
        yield home
    time.tzset()


def draw(
    prepare: Callable[[Path], None],
    steps: Callable[[Drawer], Awaitable[None]],
    *,
    day: bool = False,
    filter_text: str | None = None,
    now: datetime = NOW,
) -> list[list[Cell]]:
    """Return the screen at which the steps end, in red or by day.

    `prepare` fills the folder of the log; `filter_text` opens the tool on the log, None at home.
    """

    async def run(home: Path) -> list[list[Cell]]:
        clock = HandClock(wall=now.timestamp())
        with mock.patch.object(start, "Clock", lambda: clock):
            services = start.build(home)
        services.devices = None
        services.opening.filter = filter_text
        tool = Tool(services)
        try:
            async with tool.run_test(size=(COLUMNS, ROWS)) as pilot:
                drawer = Drawer(tool, pilot, clock)
                tool.set_daylight(day)
                tool.day = day
                await steps(drawer)
                await pilot.pause()
                return drawer.cells()
        finally:
            services.close()

    with tempfile.TemporaryDirectory() as name, surroundings(Path(name)) as home:
        prepare(home)
        return asyncio.run(run(home))
