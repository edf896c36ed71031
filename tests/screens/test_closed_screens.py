"""Screens that are closed are let go: a season of menus takes no more memory than the first few."""

from __future__ import annotations

import asyncio
import gc
import threading
from pathlib import Path
from typing import Any

from textual._styles_cache import StylesCache

from darkroom.screens.home.screen import HomeScreen
from tests.kit.review_hand import Looker, looking, put_plate

FEW, MANY = 3, 12


def _drawn_lines_kept() -> int:
    """Return how many widgets' drawn lines are kept."""
    gc.collect()
    return sum(isinstance(kept, StylesCache) for kept in gc.get_objects())


def test_what_was_drawn_on_a_closed_menu_is_let_go(tmp_path: Path) -> None:
    """After twelve menus no more drawn lines are kept than after three."""
    kept: list[int] = []

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        hand.tool.to_bench()
        for count in range(1, MANY + 1):
            hand.tool.open_menu()
            await hand.pilot.pause(0.05)
            assert hand.tool.screen is not hand.tool.bench_screen
            hand.tool.pop_screen()
            await hand.pilot.pause(0.05)
            if count in (FEW, MANY):
                kept.append(_drawn_lines_kept())

    looking(tmp_path, steps, text=None)
    assert kept[1] <= kept[0]


def test_an_answer_that_comes_after_its_screen_was_closed_is_nothing(tmp_path: Path) -> None:
    """A thread answers a home form that is closed by then: it is drawn no more, and nothing fails."""
    failed: list[dict[str, Any]] = []

    async def steps(hand: Looker) -> None:
        asyncio.get_running_loop().set_exception_handler(lambda loop, context: failed.append(context))
        home = hand.tool.screen
        assert isinstance(home, HomeScreen)
        put_plate(hand.tool)
        hand.tool.to_bench()
        await hand.until(lambda: not home.is_attached)
        answered: list[bool] = []

        def answer() -> None:
            home.draw()
            answered.append(home.tool is hand.tool)

        asker = threading.Thread(target=hand.tool.from_thread, args=(answer,))
        asker.start()
        await hand.until(lambda: bool(answered) or bool(failed))
        asker.join()
        assert answered == [True]

    looking(tmp_path, steps, text=None)
    assert failed == []
