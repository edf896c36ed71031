"""The second lock: the last word on every line before it is drawn, whatever a theme or a style says."""

from __future__ import annotations

import re
from functools import lru_cache

from rich.color import Color as RichColor
from rich.segment import Segment
from rich.style import Style
from rich.terminal_theme import DEFAULT_TERMINAL_THEME
from textual.color import Color
from textual.filter import LineFilter

from darkroom.screens.red.output_lock import nearest_step
from darkroom.screens.red.palette import DEFAULT_BRIGHTNESS, cap
from darkroom.screens.red.terminal import DEFAULT_RED, STEPS, Depth

_PICTURE = (
    "(?:[\U0001f000-\U0001faff\u231a\u231b\u23e9-\u23f3\u25fd\u25fe\u2614\u2615\u2648-\u2653\u267f\u2693\u26a1"
    "\u26aa\u26ab\u26bd\u26be\u26c4\u26c5\u26ce\u26d4\u26ea\u26f2\u26f3\u26f5\u26fa\u26fd\u2705\u270a\u270b"
    "\u2728\u274c\u274e\u2753-\u2755\u2757\u2795-\u2797\u27b0\u27bf\u2b1b\u2b1c\u2b50\u2b55]\ufe0f?|.\ufe0f)"
)
_PICTURES = re.compile(f"{_PICTURE}(?:\u200d(?:{_PICTURE}|.))*", re.DOTALL)
"""Characters that a terminal draws in its own colours: emoji presentation (Unicode UTS 51), VS-16, and what a
joiner joins to one of them, which the toolkit measures as one character."""


def without_pictures(text: str) -> str:
    """Return the text with each emoji as as many dots as it is wide."""
    from rich.cells import cell_len

    return _PICTURES.sub(lambda picture: "·" * cell_len(picture[0]), text)


class RedFilter(LineFilter):
    """The last word on every cell: both colours set, only red; two filters of equal values are equal."""

    def __init__(self, depth: Depth = 24, brightness: int = DEFAULT_BRIGHTNESS) -> None:
        """Filter for a terminal of that many bits of colour."""
        super().__init__()
        self.depth: Depth = depth
        self.brightness = brightness
        self._key = (depth, brightness)

    def __eq__(self, other: object) -> bool:
        """Filters of equal depth and brightness do the same."""
        return isinstance(other, RedFilter) and other._key == self._key

    def __hash__(self) -> int:
        """Return the hash of what it does, so that the toolkit's caches know it."""
        return hash(self._key)

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments with pure styles; control segments pass as they are."""
        depth, brightness = self.depth, self.brightness
        ground = background.rgb
        pure_segments = []
        for segment in segments:
            text, style, control = segment
            if control:
                pure_segments.append(segment)
                continue
            if not text.isascii():
                text = without_pictures(text)
            pure_segments.append(Segment(text, pure(style, ground, depth, brightness)))
        return pure_segments


@lru_cache(8192)
def pure(style: Style | None, ground: tuple[int, int, int], depth: Depth, brightness: int) -> Style:
    """Return the pure style nearest to `style` on a widget whose background is `ground` (RGB)."""
    top = cap(brightness)
    below = _level(ground, top)
    if style is None:
        return _pure_style(top, below, False, False, depth)
    fore_at, back_at = _triplet(style.color), _triplet(style.bgcolor)
    back = below if back_at is None else _level(back_at, top)
    fore = top if fore_at is None else _level(fore_at, top)
    alike = (fore_at or (top, 0, 0)) == (ground if back_at is None else back_at)
    if style.dim and fore:
        fore = STEPS[max(1, STEPS.index(fore) - 1)]
    if style.reverse:
        fore, back = back, fore
    if fore == back and not alike and brightness:
        fore = 0 if back else STEPS[1]  # what differed must still differ
    return _pure_style(fore, back, bool(style.bold), bool(style.underline), depth)


def _triplet(color: RichColor | None) -> tuple[int, int, int] | None:
    """Return the RGB of a colour, None for none or the terminal's default."""
    if color is None or color.is_default:
        return None
    red, green, blue = color.get_truecolor(DEFAULT_TERMINAL_THEME)
    return red, green, blue


def _level(rgb: tuple[int, int, int], top: int) -> int:
    """Return the step for a colour: its own red when it is pure, else its strongest part, dimmed to `top`."""
    red, green, blue = rgb
    if green == 0 and blue == 0:
        return nearest_step(red, top)
    return nearest_step(max(rgb) * top / 255, top)


@lru_cache(512)
def _pure_style(fore: int, back: int, bold: bool, underline: bool, depth: Depth) -> Style:
    """Return the style; the toolkit turns its reds into the colours that the terminal has."""
    if depth == 4:  # bold, underline and italics are other colours on some consoles
        fore, back = (0, DEFAULT_RED) if back else (DEFAULT_RED if fore else 0, 0)
        bold = underline = False
    colours = RichColor.from_rgb(fore, 0, 0), RichColor.from_rgb(back, 0, 0)
    return Style(color=colours[0], bgcolor=colours[1], bold=bold or None, underline=underline or None)
