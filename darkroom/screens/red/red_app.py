"""Only red: the base of the full-screen application, in whatever reds a terminal can show.

The table of meanings is in `palette`, the theme in `themes`, the filter on every line in `line_filter`, the
last gate in `output_lock`, and what reads from the terminal and writes to it in `driver`.
"""

from __future__ import annotations

import contextlib
import os
import sys
import traceback
from io import StringIO
from typing import TYPE_CHECKING, Any, ClassVar

from rich.console import Console
from rich.style import Style
from textual._compositor import CompositorUpdate
from textual._styles_cache import StylesCache
from textual.app import App
from textual.await_complete import AwaitComplete
from textual.css.stylesheet import Stylesheet
from textual.filter import LineFilter
from textual.reactive import Reactive

from darkroom.screens.red import terminal
from darkroom.screens.red.line_filter import RedFilter, without_pictures
from darkroom.screens.red.line_pace import PATIENCE
from darkroom.screens.red.output_lock import OutputLock
from darkroom.screens.red.palette import BRIGHTEST, DEFAULT_BRIGHTNESS, cap, style
from darkroom.screens.red.shown_cells import Changes, ShownCells
from darkroom.screens.red.terminal import Depth, sgr
from darkroom.screens.red.themes import day_theme, red_theme

if TYPE_CHECKING:
    from rich.console import RenderableType
    from textual.driver import Driver
    from textual.screen import Screen

HANG_UP = 1
"""The number of the signal that tells of a terminal which is gone (SIGHUP, POSIX)."""


class _RedFile:
    """Standard error for what is printed after the screen is given up: plain text in red on black."""

    def __init__(self, depth: Depth) -> None:
        self._red = sgr(depth)

    def write(self, text: str) -> int:
        stream = sys.__stderr__
        if stream is not None and text:
            if stream.isatty():
                text = self._red + without_pictures(text).replace("\n", "\x1b[K\n") + "\x1b[0m"
            stream.write(text)
        return len(text)

    def flush(self) -> None:
        if sys.__stderr__ is not None:
            sys.__stderr__.flush()


def locked_driver(base: type[Driver], lock: OutputLock) -> type[Driver]:
    """Return the driver with the last gate before its writes."""

    class Locked(base):  # type: ignore[valid-type, misc]
        def write(self, data: str) -> None:
            super().write(lock.pure(data))

    return Locked


class RedApp(App[Any]):
    """An application that shows nothing but red; keys only.

    `brightness` (0 to 5) and `day` may be set at any time; `day_refused` says why not. After a crash
    `crash` holds what happened, as text; it has been printed in red by then.
    """

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    TOASTS_AND_TOOLTIPS: ClassVar[bool] = False
    """Whether the toolkit's toasts and tooltips are mounted: no mouse points at anything here, and what is
    said stands in a quiet line."""
    BINDINGS: ClassVar[list[Any]] = []

    brightness: Reactive[int] = Reactive(DEFAULT_BRIGHTNESS, init=False)
    day: Reactive[bool] = Reactive(False, init=False)

    def __init_subclass__(cls, *args: Any, **options: Any) -> None:
        """Leave out the toolkit's own keys."""
        options.setdefault("inherit_bindings", False)
        super().__init_subclass__(*args, **options)

    def __init__(self, *args: Any, day: bool = False, **options: Any) -> None:
        """Begin in red, or by day when `day` is set and not refused."""
        os.environ.pop("NO_COLOR", None)
        self.can = terminal.capabilities()
        self.lock = OutputLock(self.can.depth)
        self._red = RedFilter(self.can.depth, DEFAULT_BRIGHTNESS)
        self._themed = False
        super().__init__(*args, **options)
        self._disable_tooltips = self._disable_notifications = not self.TOASTS_AND_TOOLTIPS
        self.crash: str | None = None
        self.shown = ShownCells()
        self._is_held = self._missed = False
        self.error_console = Console(
            file=_RedFile(self.can.depth),  # type: ignore[arg-type]
            color_system=None,
            force_terminal=False,
            markup=False,
            highlight=False,
        )
        for brightness in range(BRIGHTEST + 1):
            self.register_theme(red_theme(brightness))
        self.register_theme(day_theme())
        self._themed = True  # not by `self.theme`, for which the toolkit would style everything once more
        self.set_reactive(RedApp.theme, f"red-{DEFAULT_BRIGHTNESS}")
        self.set_class(True, f"-theme-{self.theme}", update=False)
        self.stylesheet = Stylesheet(variables=self.get_css_variables())
        if day:
            self.day = True

    def pop_screen(self) -> AwaitComplete:
        """Close a screen, and let go of what was drawn on it.

        The toolkit remembers colours in a cache that holds each widget's drawn lines with them.
        """
        closing = super().pop_screen()
        with contextlib.suppress(AttributeError):
            StylesCache.get_inner_outer.cache_clear()
        return closing

    @property
    def _background_screens(self) -> list[Screen[Any]]:
        """The screens that show through the top one: none, since every screen of ours covers all cells.

        The toolkit takes the one below the top for visible: it would be laid out and painted with the
        top one, and each of its changes would paint the top one anew, for ever.
        """
        return []

    def get_driver_class(self) -> type[Driver]:
        """Return what reads keys and writes frames on this system; nothing passes by the output lock."""
        if sys.platform == "win32":
            return locked_driver(super().get_driver_class(), self.lock)
        from darkroom.screens.red.driver import RedDriver

        return RedDriver

    def _display(self, screen: Screen[Any], renderable: RenderableType | None) -> None:
        """Send of what the toolkit draws at once the cells that differ from those shown, as one frame."""
        self._missed |= self._is_held and renderable is not None
        frame = getattr(self._driver, "frame", None)
        if frame is None or self._batch_count or not isinstance(renderable, CompositorUpdate):
            super()._display(screen, renderable)
            return
        changes = self.shown.changes(renderable, self.console)
        with frame():
            super()._display(screen, Changes(changes) if changes else None)
        if not self._is_held and self._pace_is_full():
            self._is_held = True
            self._begin_batch()  # what changes is gathered until the line has room
            self.set_timer(PATIENCE + 0.5, self._give_up_waiting)

    def _give_up_waiting(self) -> None:
        """Paint again when the terminal has not answered in all that time."""
        if not self._pace_is_full():
            self.line_freed()

    def _pace_is_full(self) -> bool:
        pace = getattr(self._driver, "pace", None)
        return pace is not None and pace.is_full

    def line_freed(self) -> None:
        """Paint what has changed while the terminal was behind."""
        if not self._is_held:
            return
        self._is_held = False
        self._end_batch()
        if self.is_running and self._missed:
            self._missed = False
            self.screen.refresh()
        elif self.is_running:
            self.screen.check_idle()

    def get_css_variables(self) -> dict[str, str]:
        """Return the variables of the theme; none while no theme of ours is there."""
        return super().get_css_variables() if self._themed else {}

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
        self.lock.dim_to(cap(brightness))
        self.set_colours()

    def watch_day(self, day: bool) -> None:
        """Change between day and red everywhere."""
        self.set_colours()

    def set_colours(self) -> None:
        """Set the terminal's colours to those of the brightness or the day, and paint every cell."""
        self.lock.open = self.day
        self.theme = "day" if self.day else f"red-{self.brightness}"
        if self._driver is not None and not self.is_headless:
            if self.day:
                self._driver.write("\x1b]10;rgb:00/00/00\x1b\\\x1b]11;rgb:ff/ff/ff\x1b\\")
            else:
                red = f"{cap(self.brightness):02x}"
                self._driver.write(
                    f"\x1b]10;rgb:{red}/00/00\x1b\\\x1b]11;rgb:00/00/00\x1b\\"
                    if self.can.term != "linux"
                    else ""
                )
                self._driver.write(terminal.palette(self.can, cap(self.brightness)))
        self.repaint()

    def repaint(self) -> None:
        """Paint every cell: its colours have changed, or the terminal has missed frames."""
        self.shown.forget()
        if self.is_running:
            self.refresh(layout=False)
            for screen in self.screen_stack:
                screen.refresh()

    def input_ended(self) -> None:
        """Leave in order: the terminal is gone, and owes no answer."""
        if (pace := getattr(self._driver, "pace", None)) is not None:
            pace.forget()
        self.exit(None, 128 + HANG_UP)

    def panic(self, *renderables: Any) -> None:
        """Give up the screen and print what is given, in red."""
        if self.crash is None:
            plain_console = Console(file=StringIO(), color_system=None, width=100)
            plain_console.print(*renderables, sep="\n")
            self.crash = plain_console.file.getvalue()  # type: ignore[attr-defined]
        super().panic(*renderables)

    def _handle_exception(self, error: Exception) -> None:
        """Keep the trace of an exception that nothing handled."""
        if self.crash is None:
            self.crash = "".join(traceback.format_exception(error))
        super()._handle_exception(error)

    def on_load(self) -> None:
        """Leave in order when a signal asks for it."""
        red_terminal = terminal.current()
        if red_terminal is not None:
            red_terminal.signals.leave_with(self._signalled)

    def on_unmount(self) -> None:
        """Leave no more: where a signal comes now, what stands after this application ends the program."""
        red_terminal = terminal.current()
        if red_terminal is not None:
            red_terminal.signals.leave_with(None)

    def _signalled(self, number: int) -> None:
        if self._loop is not None:
            with contextlib.suppress(RuntimeError):  # the loop is closed: it has left already
                self._loop.call_soon_threadsafe(self.exit, None, 128 + number)
