"""Screens that are closed are let go: a season of menus takes no more memory than the first few."""

from __future__ import annotations

import gc
from pathlib import Path

from textual._styles_cache import StylesCache

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
