"""Any keys on any screen: the changed cells make the whole frame of what is shown, and but by day all is red.

The keys are drawn by seed; `DARKROOM_MONKEY` sets how many presses there are.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from darkroom.screens.app import Tool
from tests.kit import season
from tests.kit.audit import audit
from tests.kit.frames_shown import FramesShown
from tests.kit.nightly import size
from tests.kit.review_hand import Looker, looking, put_plate

PRESSES = size("DARKROOM_MONKEY", 80, 2000)
KEYS = ("space", "space", "space", "escape", "enter", "up", "down", "down", "left", "right", "pagedown",
        "end", "tab", "f2", "f3", "f4", "f5", "f9", "f12", "n", "1", "j", "m", "6", "backspace", "full_stop",
        "question_mark", "水", "ä", "plus", "minus", "b", "d", "v")  # fmt: skip
NAMES = ("水", "水の鏡 at noon", "e\u0301te\u0301", "شجرة", "\U0001f4f7 box", "\U0001f468\u200d\U0001f33e",
         "가\u200bb", "\U0001f44d\U0001f3fd", "नमस्ते", "a\u0300\u0301\u0302", "❤\ufe0f", "ﷺ")  # fmt: skip
"""Words that take two cells, none, or one of which terminals disagree."""
SIZES = [(80, 24), (120, 40), (60, 14), (45, 50), (30, 8), (20, 5), (12, 4), (5, 3), (1, 1), (2, 24), (80, 1)]
TERMINALS = [("xterm-256color", "truecolor", 24), ("xterm-256color", "", 8), ("linux", "", 4)]
"""What a terminal is named, and the bits of its colours."""
AGAIN = 40
"""Looks until a screen that still paints stands still."""


@pytest.mark.parametrize(("term", "colorterm", "depth"), TERMINALS)
def test_changed_cells_show_the_whole_frame(
    home: Path, monkeypatch: pytest.MonkeyPatch, term: str, colorterm: str, depth: int
) -> None:
    """After each key, size and brightness the terminal shows what it would if every cell was painted."""
    rng = random.Random(depth)
    monkeypatch.setenv("TERM", term)
    monkeypatch.setenv("COLORTERM", colorterm)
    monkeypatch.setattr(season, "SUBJECTS", NAMES)
    season.write(home, 40, seed=5, days=10)
    shown: list[FramesShown] = []

    def begin(tool: Tool) -> None:
        tool.leave = lambda: None  # type: ignore[method-assign]
        shown.append(FramesShown(tool))

    async def steps(hand: Looker) -> None:
        terminal = shown[0]
        put_plate(hand.tool)
        pressed = []
        for _ in range(PRESSES):
            hand.ahead += rng.choice([0.0, 0.3, 1.1, 1.1, 5.0, 60.0])
            if rng.random() < 0.1:
                pressed.append(str(where := rng.choice(SIZES)))
                await hand.pilot.resize_terminal(*where)
                hand.tool.repaint()  # as the driver does for a size
            elif rng.random() < 0.05:
                hand.tool.brightness = rng.randint(0, 5)
                pressed.append(f"brightness {hand.tool.brightness}")
            else:
                pressed.append(rng.choice(KEYS))
                await hand.pilot.press(pressed[-1])
            for _ in range(AGAIN):
                await hand.pilot.pause()
                if terminal.is_whole():
                    break
            else:
                pairs = zip(terminal.rows(), terminal.whole(), strict=True)
                odd = [(y, old, new) for y, (old, new) in enumerate(pairs) if old != new]
                raise AssertionError(f"{pressed[-12:]}: {type(hand.tool.screen).__name__}: {odd}")

    looking(home, steps, text=None, begin=begin)
    assert audit(b"\x1b]11;rgb:00/00/00\x1b\\" + shown[0].sent_red.encode(), depth, to_the_end=True) == []
