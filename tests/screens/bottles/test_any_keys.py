"""A monkey over the pages of the bottles: no key ends the tool, and the book stays whole."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from darkroom.log.bottles.files import read_shelf
from tests.kit.book_of_bottles import put_shelf
from tests.kit.nightly import size
from tests.kit.review_hand import Looker, looking

PRESSES = size("DARKROOM_MONKEY", 80, 2000)
KEYS = [
    "enter", "escape", "up", "down", "left", "right", "pageup", "pagedown", "home", "end", "space", "tab",
    "backspace", "delete", "ctrl+u", "f12", "f2", "f9", "n", "d", "p", "1", "9", "full_stop", "a", "b",
    "minus",
]  # fmt: skip
WEIGHTS = [12, 3, 3, 10, 3, 4, 1, 2, 1, 2, 2, 2, 1, 1, 1, 4, 1, 1, 3, 2, 2, 2, 2, 1, 2, 2, 1]
SIZES = [(80, 24), (120, 40), (200, 60), (60, 14), (45, 50), (30, 8), (12, 4)]


@pytest.mark.parametrize("seed", range(4))
def test_any_keys_on_the_bottles(home: Path, seed: int) -> None:
    """Whatever is pressed, at any size: the page lives, and every line that was written can be read."""
    put_shelf(home)
    rng = random.Random(seed)

    async def steps(hand: Looker) -> None:
        hand.tool.leave = lambda: None  # type: ignore[method-assign]
        await hand.wait("to the bench")
        await hand.press("f12")
        await hand.wait("BOTTLES")
        for _ in range(PRESSES):
            hand.ahead += rng.choice([0.0, 0.3, 1.1, 1.1, 5.0])
            if rng.random() < 0.03:
                await hand.pilot.resize_terminal(*rng.choice(SIZES))
            await hand.pilot.press(rng.choices(KEYS, WEIGHTS)[0])
        await hand.pilot.pause(0.2)

    looking(home, steps, text=None)
    shelf = read_shelf(home)
    assert shelf.problems == () and len(shelf.bottles) >= 7
