"""Only red: one table from meaning to red level, the theme, the final filter, and the application's base.

Every cell of the full-screen tool is red or black, in whatever a terminal can show. Draw code names
a meaning; nothing but this table names a colour. The levels are those that 256 colours know as pure
reds, so that a terminal with fewer colours shows the same.
"""

from __future__ import annotations

import re
import sys
from functools import lru_cache
from typing import TYPE_CHECKING, Any, ClassVar

from rich.color import Color as RichColor
from rich.console import Console
from rich.segment import Segment
from rich.style import Style
from rich.terminal_theme import DEFAULT_TERMINAL_THEME
from textual.app import App
from textual.color import Color
from textual.filter import LineFilter
from textual.reactive import Reactive
from textual.theme import Theme

from darkroom.screens import terminal
from darkroom.screens.lock import Lock, nearest_step
from darkroom.screens.terminal import STEPS, Depth, eight_bit, prepare_environment, sgr

if TYPE_CHECKING:
    from textual.driver import Driver

__all__ = ["LEVELS", "RedApp", "RedFilter", "day_theme", "prepare_environment", "red_theme", "style"]

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


# --- the first lock: the theme -----------------------------------------------------------


def _hex(level: int) -> str:
    return f"#{level:02x}0000"


def red_theme(brightness: int = DEFAULT_BRIGHTNESS) -> Theme:
    """Return the toolkit's theme for a brightness of 0 (blackout) to 5; every variable of it is pure red."""
    ground, line, quiet, text = (_hex(step(index, brightness)) for index in (0, 1, 2, 3))
    return _theme(f"red-{brightness}", ground, line, quiet, text, dark=True)


def day_theme() -> Theme:
    """Return the theme for review by day, and for a screen that stands in daylight."""
    return _theme("day", DAY_STEPS[0], DAY_STEPS[1], DAY_STEPS[2], DAY_STEPS[3], dark=False)


def _theme(name: str, ground: str, line: str, quiet: str, text: str, *, dark: bool) -> Theme:
    variables = {
        "text": text, "text-muted": quiet, "text-disabled": line,
        **{f"text-{word}": text for word in ("primary", "secondary", "warning", "error", "success", "accent")},
        **{f"{word}-muted": ground
           for word in ("primary", "secondary", "warning", "error", "success", "accent")},
        "foreground-muted": quiet, "foreground-disabled": line,
        "block-cursor-foreground": ground, "block-cursor-background": text, "block-cursor-text-style": "none",
        "block-cursor-blurred-foreground": ground, "block-cursor-blurred-background": text,
        "block-cursor-blurred-text-style": "none", "block-hover-background": ground,
        "border": text, "border-blurred": line, "surface-active": ground,
        "scrollbar": quiet, "scrollbar-hover": quiet, "scrollbar-active": text,
        "scrollbar-background": ground, "scrollbar-background-hover": ground,
        "scrollbar-background-active": ground, "scrollbar-corner-color": ground,
        "link-background": ground, "link-background-hover": ground, "link-color": text,
        "link-color-hover": text, "link-style": "none", "link-style-hover": "none",
        "footer-foreground": text, "footer-background": ground, "footer-key-foreground": text,
        "footer-key-background": ground, "footer-description-foreground": quiet,
        "footer-description-background": ground, "footer-item-background": ground,
        "input-cursor-background": text, "input-cursor-foreground": ground, "input-cursor-text-style": "none",
        "input-selection-background": quiet, "input-selection-foreground": ground,
        **{f"markdown-h{n}-color": text for n in range(1, 7)},
        **{f"markdown-h{n}-background": ground for n in range(1, 7)},
        "button-foreground": text, "button-color-foreground": ground, "button-focus-text-style": "none",
        "ansi-background": ground, "ansi-foreground": text,
        "screen-selection-background": quiet, "screen-selection-foreground": ground,
        **{f"{word}-background{shade}": ground for word in ("primary", "secondary")
           for shade in ("", *(f"-{way}-{n}" for way in ("lighten", "darken") for n in (1, 2, 3)))},
    }  # fmt: skip
    return Theme(
        name=name, primary=text, secondary=text, warning=text, error=text, success=text, accent=text,
        foreground=text, background=ground, surface=ground, panel=ground, boost=ground, dark=dark,
        luminosity_spread=0.0, text_alpha=1.0, variables=variables,
    )  # fmt: skip


# --- the second lock: the filter on every line -------------------------------------------

_PICTURES = re.compile(
    "[\U0001f000-\U0001faff\u231a\u231b\u23e9-\u23f3\u25fd\u25fe\u2614\u2615\u2648-\u2653\u267f\u2693\u26a1"
    "\u26aa\u26ab\u26bd\u26be\u26c4\u26c5\u26ce\u26d4\u26ea\u26f2\u26f3\u26f5\u26fa\u26fd\u2705\u270a\u270b"
    "\u2728\u274c\u274e\u2753-\u2755\u2757\u2795-\u2797\u27b0\u27bf\u2b1b\u2b1c\u2b50\u2b55]|.\ufe0f",
    re.DOTALL,
)
"""Characters that a terminal draws in its own colours: emoji presentation (Unicode UTS 51), and VS-16."""


def without_pictures(text: str) -> str:
    """Return the text with each emoji as as many dots as it is wide."""
    from rich.cells import cell_len

    return _PICTURES.sub(lambda found: "·" * cell_len(found[0]), text)


class RedFilter(LineFilter):
    """The last word on every cell: both colours set, only red; two filters of equal values are equal."""

    def __init__(self, depth: Depth = 24, brightness: int = DEFAULT_BRIGHTNESS) -> None:
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
        found = []
        for segment in segments:
            text, given, control = segment
            if control:
                found.append(segment)
                continue
            if not text.isascii():
                text = without_pictures(text)
            found.append(Segment(text, pure(given, ground, depth, brightness)))
        return found


@lru_cache(8192)
def pure(given: Style | None, ground: tuple[int, int, int], depth: Depth, brightness: int) -> Style:
    """Return the pure style nearest to `given` on a widget whose background is `ground` (RGB)."""
    top = cap(brightness)
    below = _level(ground, top)
    if given is None:
        return _shown(top, below, False, False, depth)
    fore_at, back_at = _triplet(given.color, depth, top), _triplet(given.bgcolor, depth, top)
    back = below if back_at is None else _level(back_at, top)
    fore = top if fore_at is None else _level(fore_at, top)
    alike = (fore_at or (top, 0, 0)) == (ground if back_at is None else back_at)
    if given.dim and fore:
        fore = STEPS[max(1, STEPS.index(fore) - 1)]
    if given.reverse:
        fore, back = back, fore
    if fore == back and not alike and brightness:
        fore = 0 if back else STEPS[1]  # what differed must still differ
    return _shown(fore, back, bool(given.bold), bool(given.underline), depth)


def _triplet(color: RichColor | None, depth: Depth, top: int) -> tuple[int, int, int] | None:
    """Return the RGB of a colour, None for none or the terminal's default."""
    if color is None or color.is_default:
        return None
    if color.triplet is None and color.number is not None and depth == 4 and color.number in (0, 1):
        return (top if color.number else 0, 0, 0)
    red, green, blue = color.get_truecolor(DEFAULT_TERMINAL_THEME)
    return red, green, blue


def _level(rgb: tuple[int, int, int], top: int) -> int:
    """Return the step for a colour: its own red when it is pure, else its strongest part, dimmed to `top`."""
    red, green, blue = rgb
    if green == 0 and blue == 0:
        return nearest_step(red, top)
    return nearest_step(max(rgb) * top / 255, top)


@lru_cache(512)
def _shown(fore: int, back: int, bold: bool, underline: bool, depth: Depth) -> Style:
    if depth == 4:  # bold, underline and italics are other colours on some consoles
        numbers = (0, 1) if back else (1 if fore else 0, 0)
        return Style(color=RichColor.from_ansi(numbers[0]), bgcolor=RichColor.from_ansi(numbers[1]))
    if depth == 8:
        colours = RichColor.from_ansi(eight_bit(fore)), RichColor.from_ansi(eight_bit(back))
    else:
        colours = RichColor.from_rgb(fore, 0, 0), RichColor.from_rgb(back, 0, 0)
    return Style(color=colours[0], bgcolor=colours[1], bold=bold or None, underline=underline or None)


# --- the application's base --------------------------------------------------------------


class _RedFile:
    """Standard error for what is printed after the screen is given up: plain text in red on black."""

    def __init__(self, depth: Depth) -> None:
        self._red = sgr(depth)

    def write(self, text: str) -> int:
        stream = sys.__stderr__
        if stream is not None and text:
            if stream.isatty():
                text = self._red + text.replace("\n", "\x1b[K\r\n") + "\x1b[0m"
            stream.write(text)
        return len(text)

    def flush(self) -> None:
        if sys.__stderr__ is not None:
            sys.__stderr__.flush()


def locked_driver(base: type[Driver], lock: Lock) -> type[Driver]:
    """Return the driver with the last gate before its writes."""

    class Locked(base):  # type: ignore[valid-type, misc]
        def write(self, data: str) -> None:
            super().write(lock.pure(data))

    return Locked


class RedApp(App[Any]):
    """An application that shows nothing but red; keys only.

    `brightness` (0 to 5) and `day` may be set at any time; `day_refused` says why not.
    """

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    BINDINGS: ClassVar[list[Any]] = []

    brightness: Reactive[int] = Reactive(DEFAULT_BRIGHTNESS, init=False)
    day: Reactive[bool] = Reactive(False, init=False)

    def __init_subclass__(cls, *args: Any, **options: Any) -> None:
        options.setdefault("inherit_bindings", False)
        super().__init_subclass__(*args, **options)

    def __init__(self, *args: Any, day: bool = False, **options: Any) -> None:
        import os

        os.environ.pop("NO_COLOR", None)
        self.can = terminal.capabilities()
        self.lock = Lock(self.can.depth)
        self._red = RedFilter(self.can.depth, DEFAULT_BRIGHTNESS)
        super().__init__(*args, **options)
        self.driver_class = locked_driver(self.driver_class, self.lock)
        self.error_console = Console(
            file=_RedFile(self.can.depth), color_system=None, force_terminal=False, markup=False,  # type: ignore[arg-type]
            highlight=False,
        )  # fmt: skip
        for brightness in range(BRIGHTEST + 1):
            self.register_theme(red_theme(brightness))
        self.register_theme(day_theme())
        self.theme = f"red-{DEFAULT_BRIGHTNESS}"
        if day:
            self.day = True

    def get_line_filters(self) -> list[LineFilter]:
        """Return the toolkit's filters, and ours last."""
        filters = list(super().get_line_filters())
        return filters if self.day else [*filters, self._red]

    def style_of(self, meaning: str) -> Style:
        """Return the style of a meaning as things stand."""
        return style(meaning, self.brightness, self.day)

    def run(self, *args: Any, mouse: bool = False, **options: Any) -> Any:
        """Run without a mouse."""
        return super().run(*args, mouse=mouse, **options)

    def day_refused(self) -> str | None:
        """Return why the day theme cannot be shown now, or None; the owner overrides it."""
        return None

    def validate_brightness(self, brightness: int) -> int:
        """Keep the brightness between blackout and brightest."""
        return max(0, min(BRIGHTEST, brightness))

    def validate_day(self, day: bool) -> bool:
        """Refuse the day when its owner does."""
        return bool(day) and self.day_refused() is None

    def watch_brightness(self, brightness: int) -> None:
        """Show the new brightness everywhere."""
        self._red = RedFilter(self.can.depth, brightness)
        self._recolour()

    def watch_day(self, day: bool) -> None:
        """Change between day and red everywhere."""
        self._recolour()

    def _recolour(self) -> None:
        self.lock.open = self.day
        self.theme = "day" if self.day else f"red-{self.brightness}"
        if self._driver is not None and not self.is_headless:
            if self.day:
                self._driver.write("\x1b]10;rgb:00/00/00\x1b\\\x1b]11;rgb:ff/ff/ff\x1b\\")
            else:
                red = f"{cap(self.brightness):02x}"
                self._driver.write(f"\x1b]10;rgb:{red}/00/00\x1b\\\x1b]11;rgb:00/00/00\x1b\\"
                                   if self.can.term != "linux" else "")  # fmt: skip
                self._driver.write(terminal.palette(self.can, cap(self.brightness)))
        if self.is_running:
            self.refresh(layout=False)
            for screen in self.screen_stack:
                screen.refresh()

    def on_load(self) -> None:
        """Leave in order when a signal asks for it."""
        now = terminal.current()
        if now is not None:
            now.leave_with(self._signalled)

    def _signalled(self, number: int) -> None:
        if self._loop is not None:
            self._loop.call_soon_threadsafe(self.exit, None, 128 + number)
