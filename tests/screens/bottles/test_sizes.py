"""The pages of the bottles at the sizes of terminals."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.screens.bottles.bottle_screen import BottleScreen
from tests.kit.book_of_bottles import put_shelf
from tests.kit.review_hand import Looker, looking


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60), (60, 14), (30, 8), (12, 4), (1, 1)])
def test_any_size_has_just_its_rows(home: Path, size: tuple[int, int]) -> None:
    """The list, its problems, a bottle and its forms: as many rows as the screen has, each as wide."""
    put_shelf(home)
    (home / "bottles" / "x.jsonl").write_text("", encoding="utf-8")

    async def steps(hand: Looker) -> None:
        def whole() -> None:
            rows = hand.rows()
            assert len(rows) == size[1]

        await hand.pilot.pause(0.3)
        await hand.press("f12")
        await hand.until(lambda: getattr(hand.tool.screen, "known", None) is not None)
        await hand.press("down")
        whole()
        await hand.press("p")
        whole()
        await hand.press("p", "n")
        whole()
        await hand.press("escape", "enter")
        await hand.until(lambda: isinstance(hand.tool.screen, BottleScreen))
        whole()
        await hand.press("pagedown", "end")
        whole()

    looking(home, steps, text=None, size=size)
