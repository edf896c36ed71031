"""The whole tool without a terminal, looking back at a log: keys in, rows out, time as the test says."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from darkroom.bench import clocks
from darkroom.bench import intents as want
from darkroom.bench.state import PlateState
from darkroom.screens.app import Tool
from darkroom.screens.start import build
from darkroom.session.plate_form import PlateForm


class Looker:
    """Presses keys in the tool and reads its screen."""

    def __init__(self, tool: Tool, pilot: Pilot[Any]) -> None:
        self.tool, self.pilot = tool, pilot
        self.ahead = 0.0
        clock = tool.session.clock
        up, awake, wall = clock.up, clock.awake, clock.wall
        clock.up = lambda: up() + self.ahead  # type: ignore[method-assign]
        clock.awake = lambda: awake() + self.ahead  # type: ignore[method-assign]
        clock.wall = lambda: wall() + self.ahead  # type: ignore[method-assign]

    async def later(self, seconds: float) -> None:
        """Let so much time pass at the bench at once; under a second it is no stall."""
        self.ahead += seconds
        self.tool.session.tick()
        await self.pilot.pause()

    def at_once(self, seconds: float) -> None:
        """Let time pass at the bench, decided as it passes, while nobody looks at the screen."""
        until = self.ahead + seconds
        while self.ahead < until:
            self.ahead = min(until, self.ahead + 0.9)
            self.tool.session.tick()

    async def press(self, *keys: str) -> None:
        """Press keys, one after the other."""
        await self.pilot.press(*keys)
        await self.pilot.pause()

    async def type(self, text: str) -> None:
        """Type words."""
        names = {" ": "space", ":": "colon", ".": "full_stop", "-": "minus", "+": "plus", "/": "slash"}
        await self.press(*(names.get(sign, sign) for sign in text))

    def rows(self) -> list[str]:
        """Return the rows of the page as text."""
        return ["".join(text for text, _ in row) for row in self.tool.screen.face._rows]  # type: ignore[attr-defined]

    def text(self) -> str:
        """Return the page as text."""
        return "\n".join(row.rstrip() for row in self.rows())

    async def wait(self, words: str | Callable[[str], bool], seconds: float = 20.0) -> str:
        """Wait until the page tells the words; return it."""
        until = time.monotonic() + seconds
        while True:
            await self.pilot.pause(0.02)
            text = self.text()
            if words(text) if callable(words) else words in text:
                return text
            assert time.monotonic() < until, f"{words!r} is not on the page:\n{text}"

    async def until(self, holds: Callable[[], bool], seconds: float = 20.0) -> None:
        """Wait until something holds."""
        await self.wait(lambda text: holds(), seconds)


def put_plate(tool: Tool) -> None:
    """Put a plate of clear glass on the bench."""
    form = PlateForm(process="clear-glass", exposure="8s")
    tool.session.put_on(tool.services.plate_from(form, tool.services.processes.read("clear-glass")))


def large(hand: Looker) -> PlateState:
    """Return the large plate."""
    state = hand.tool.session.bench.shown
    assert state is not None
    return state


async def bring_to(hand: Looker, stage: str, phase: str) -> None:
    """Put a plate of clear glass on the bench and strike until it stands in a stage."""
    put_plate(hand.tool)
    hand.tool.to_bench()
    for step in range(2000):
        state = large(hand)
        if (state.stage.name, state.phase) == (stage, phase):
            return
        zero = clocks.zero(state) if state.phase == "running" else None
        counts = state.phase == "lead_in" or (zero is not None and zero > hand.tool.session.now())
        if not counts:
            hand.tool.session.intend(want.Go(f"20260301-120000-{step:06d}", 1))
        hand.at_once(0.9)
    raise AssertionError(f"never in {stage}: {large(hand).stage.name}")


async def make_sensitive(hand: Looker) -> None:
    """Strike until a plate is in the bath, 0.8 s after each strike: never the same handful."""
    for _ in range(2):
        hand.tool.session.key("space")
        await hand.later(0.8)


def looking(
    home: Path,
    then: Callable[[Looker], Awaitable[None]],
    text: str | None = "",
    size: tuple[int, int] = (80, 24),
    begin: Callable[[Tool], None] | None = None,
) -> None:
    """Open the tool on its log and do something; `text` None opens it at home instead."""

    async def run() -> None:
        services = build(home)
        services.opening.filter = text
        tool = Tool(services)
        if begin is not None:
            begin(tool)
        try:
            async with tool.run_test(size=size) as pilot:
                await then(Looker(tool, pilot))
        finally:
            services.close()

    asyncio.run(run())
