"""The full-screen tool: one Textual application, its screens, and what they share."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

from textual.binding import Binding

from darkroom.bench.bench import NEW
from darkroom.process.model import Process
from darkroom.screens import keymap
from darkroom.screens.calls import Calls
from darkroom.screens.form import Form
from darkroom.screens.red import RedApp, style
from darkroom.screens.session import Session

LEVELS_OF_BRIGHTNESS = 5


class Tool(RedApp):
    """What the screens share: the session, the last form, brightness, what is unsaved."""

    TITLE = "darkroom"
    BINDINGS = [Binding("ctrl+c", "nothing", show=False)]

    def __init__(self, parts: Any) -> None:
        super().__init__()
        self.parts = parts
        self.session: Session = parts.session
        self.calls: Calls = parts.calls
        self.form: Form = parts.form
        self.speed: float = parts.speed
        self.rehearsal: bool = parts.rehearsal
        self.blocks: str = parts.blocks
        self.key_names: dict[str, str] = keymap.shown_names(parts.keys)
        self.notice: str | None = parts.notice
        self.session.changed = self.soon
        self._soon = False

    # --- colour --------------------------------------------------------------------------

    def style_of(self, meaning: str) -> Any:
        """Return the style of a meaning at the present brightness."""
        return style(meaning, self.brightness)

    @property
    def brightness_key(self) -> object:
        """What the present styles depend on."""
        return (self.brightness, self.day)

    # --- screens ---------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Open the bench when there is work on it, else the home screen."""
        from darkroom.screens.bench import BenchScreen

        self.bench_screen = BenchScreen()
        self.push_screen(self.bench_screen)
        if not self.session.bench.on_bench:
            self.home()
        self.call_after_refresh(self._after_first_frame)

    def _after_first_frame(self) -> None:
        """Start what may be slow: sound, thermometers, the search for the highest number."""
        for start in self.parts.later:
            start(self)

    def home(self) -> None:
        """Show the form for a new plate."""
        from darkroom.screens.home import HomeScreen

        self.push_screen(HomeScreen(self.form))

    def begin(self, form: Form, process: Process) -> None:
        """Put a plate of this process on the bench and show it."""
        self.form = form
        self.session.put_on(self.parts.plate_from(form, process))
        self.parts.remember(self)
        while self.screen is not self.bench_screen and len(self.screen_stack) > 1:
            self.pop_screen()
        self.bench_screen.wake()

    # --- keys and changes ------------------------------------------------------------------

    def bench_key(self, name: str) -> None:
        """Take a key on the bench screen."""
        if self.bench_screen.blackout:
            self.bench_screen.blackout = False
        zone = self.parts.keys.zone_of(name)
        if zone == "menu":
            from darkroom.screens.menu import open_menu

            open_menu(self)
            return
        self.session.key(name)
        self.bench_screen.wake()

    def soon(self) -> None:
        """Draw again when what is happening now has been decided."""
        self.calls.ring(self.session.now())
        if not self._soon and self.is_running:
            self._soon = True
            self.call_later(self._drawn)

    def _drawn(self) -> None:
        self._soon = False
        self.bench_screen.wake()
        self.parts.remember(self)

    def from_thread(self, what: Callable[[], None]) -> None:
        """Do something on the screen's thread; safe to call from any."""
        if threading.get_ident() == self._thread_id:
            what()
        elif self.is_running and self._loop is not None:
            self._loop.call_soon_threadsafe(what)

    def unsaved(self) -> tuple[str, ...]:
        """Return the names of the plates with events that are not on disk for more than a second."""
        late = [plate for plate, seconds in self.parts.waiting().items() if seconds > 1.0]
        plates = self.session.bench.plates
        return tuple(f"plate {plates[plate].number}" if plate in plates else plate for plate in late)

    def change_brightness(self, by: int) -> None:
        """One step brighter or darker."""
        self.brightness = max(1, min(LEVELS_OF_BRIGHTNESS, self.brightness + by))
        self.bench_screen.wake()

    def leave(self) -> None:
        """Leave the program; the plates stay on the bench."""
        self.exit(0)

    @property
    def waiting_for_first_strike(self) -> bool:
        """True while a plate stands on the bench that has not begun."""
        return NEW in self.session.bench.plates
