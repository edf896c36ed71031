"""A monkey at the keyboard: any keys at any time on any screen, the clock running on; nothing breaks.

The keys are drawn by seed; `DARKROOM_MONKEY` sets how many presses there are.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import read_plate
from tests.kit.book_of_bottles import put_shelf
from tests.kit.nightly import size
from tests.kit.review_hand import Looker, looking

PRESSES = size("DARKROOM_MONKEY", 80, 2000)
KEYS = ["space", "x", "backspace", "escape", "enter", "up", "down", "left", "right", "home", "end", "pageup",
        "pagedown", "tab", "f2", "f3", "f4", "f5", "f6", "f9", "f12", "n", "1", "5", "j", "m", "q",
        "full_stop", "minus", "ctrl+c", "ctrl+u", "delete"]  # fmt: skip
WEIGHTS = [30, 4, 4, 6, 5, 4, 12, 3, 4, 1, 1, 1, 2, 1, 3, 1, 2, 2, 2, 2, 3, 2, 1, 1, 2, 2, 1, 1, 1, 1, 1, 1]
SIZES = [(80, 24), (120, 40), (200, 60), (60, 14), (45, 50), (30, 8), (12, 4)]


@pytest.mark.parametrize("seed", range(3))
def test_any_keys_at_any_time(home: Path, plates: list[Path], seed: int) -> None:
    """No key anywhere ends the tool, and every journal that it leaves can be read whole."""
    rng = random.Random(seed)
    put_shelf(home)

    async def steps(hand: Looker) -> None:
        hand.tool.leave = lambda: None  # type: ignore[method-assign]
        for _ in range(PRESSES):
            hand.ahead += rng.choice([0.0, 0.3, 1.1, 1.1, 1.1, 5.0, 60.0, 400.0])
            if rng.random() < 0.02:
                await hand.pilot.resize_terminal(*rng.choice(SIZES))
            await hand.pilot.press(rng.choices(KEYS, WEIGHTS)[0])
        await hand.pilot.pause()

    looking(home, steps, text=None)
    for path in find_plates(home):
        assert read_plate(path).problems == (), path
