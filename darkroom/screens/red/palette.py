"""One table from meaning to red level. Draw code names a meaning; nothing but this table names a colour.

The levels are those that 256 colours know as pure reds, so that a terminal with fewer colours shows
the same.
"""

from __future__ import annotations

from functools import lru_cache

from rich.color import Color as RichColor
from rich.style import Style

from darkroom.screens.red.terminal import STEPS

DEFAULT_BRIGHTNESS = 3
BRIGHTEST = 5

LEVELS: dict[str, tuple[int, int, bool]] = {
    "ground": (0, 0, False),
    "line": (1, 0, False),
    "quiet": (2, 0, False),
    "text": (3, 0, False),
    "loud": (3, 0, True),
    "frame": (3, 2, False),
    "reversed": (0, 3, False),
}
"""Meaning -> (step of its red, step of its ground, bold), as indices into `STEPS` at brightness 3.

`<meaning> reversed` swaps red and ground: large letters made of background-coloured spaces use it.
"""

DAY_STEPS = ("#ffffff", "#8a8a8a", "#666666", "#000000", "#000000", "#000000")
"""The same steps in daylight: paper, line, quiet, text; from quiet on 4.5 : 1 and more (WCAG 2.1)."""


def step(index: int, brightness: int) -> int:
    """Return the red level of a step at a brightness of 0 (blackout) or 1 to 5."""
    if index == 0 or brightness == 0:
        return 0
    return STEPS[max(1, min(5, index + brightness - DEFAULT_BRIGHTNESS))]


def cap(brightness: int) -> int:
    """Return the brightest red at a brightness."""
    return step(3, brightness)


@lru_cache(256)
def style(meaning: str, brightness: int = DEFAULT_BRIGHTNESS, day: bool = False) -> Style:
    """Return the style of a meaning; KeyError for a word that is not in the table."""
    name, _, turned = meaning.partition(" ")
    if turned not in ("", "reversed"):
        raise KeyError(meaning)
    fore, back, bold = LEVELS[name]
    if turned:
        fore, back, bold = back, fore, False
    if day:
        return Style(color=DAY_STEPS[fore], bgcolor=DAY_STEPS[back], bold=bold)
    red, ground = step(fore, brightness), step(back, brightness)
    if red == ground and fore != back:
        red = 0 if fore < back else STEPS[min(5, STEPS.index(ground) + 1)] if brightness else 0
    return Style(color=RichColor.from_rgb(red, 0, 0), bgcolor=RichColor.from_rgb(ground, 0, 0), bold=bold)
