"""What the screens need of the application: the abstract application, and the base of every screen of ours.

No screen imports the application or another screen: screens are opened by name (`open_screen`), and the
application's table says which class a name means.
"""

from __future__ import annotations

import threading
from abc import abstractmethod
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Literal, TypeVar

from textual.await_complete import AwaitComplete
from textual.screen import Screen
from textual.timer import Timer

from darkroom.bench.bottles_at_hand import BottleAtHand
from darkroom.bench.intents import Intent
from darkroom.bench.view import bench_view
from darkroom.process.model import Process
from darkroom.screens.home.last_advice import Advice
from darkroom.screens.lettering.lettering import Blocks
from darkroom.screens.next_change import seconds_to_change
from darkroom.screens.red.red_app import RedApp
from darkroom.screens.services import Services
from darkroom.session.plate_form import PlateForm
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser
from darkroom.session.voice import CueSender

if TYPE_CHECKING:
    from darkroom.session.lessons import Lessons

RESTING = 1.0
"""While no plate is followed, a screen that is seen is drawn anew after so many seconds."""
GATHERING = 0.02
"""While a handful is gathered, a list looks this often whether it is over, in seconds."""

ScreenName = Literal[
    "home", "day", "keys", "plates", "plate", "judging", "comparison", "exposure", "trends",
    "bottles", "bottle", "bottle line",
]  # fmt: skip
"""The names under which screens are opened."""

Result = TypeVar("Result")


class Host(RedApp):
    """The application as its screens see it: the session, the services, notices and opening other screens."""

    services: Services
    session: Session
    cue_sender: CueSender
    speed: float
    rehearsal: bool
    blocks: Blocks
    key_names: dict[str, str]
    """{action id: name of a key that does it}."""

    # --- opening screens ---------------------------------------------------------------------

    @abstractmethod
    def open_screen(
        self, name: ScreenName, *values: object, closed: Callable[[Any], None] | None = None
    ) -> None:
        """Open the screen of this name, made with `values`; `closed` is called with what it gives."""

    @abstractmethod
    def open_menu(self) -> None:
        """Open the menu over the present screen."""

    @abstractmethod
    def home(self) -> None:
        """Open the form for a new plate."""

    @abstractmethod
    def day_sheet(self, leaving: bool = False) -> bool:
        """Open the day's sheet where no plate is on the bench; return whether it was opened.

        With `leaving` it is the closing sheet, and the program is left when it was gone through.
        """

    @abstractmethod
    def look_back(self, text: str = "") -> None:
        """Open the list of plates, with `text` typed as its filter."""

    @abstractmethod
    def to_bench(self) -> None:
        """Close what stands over the bench."""

    @abstractmethod
    def leave(self) -> None:
        """Leave the program; the plates stay on the bench."""

    # --- what the screens ask ------------------------------------------------------------------

    @property
    @abstractmethod
    def notice(self) -> str | None:
        """What does not work now, in one line."""

    @property
    @abstractmethod
    def form(self) -> PlateForm:
        """What was last put on the bench, or typed: the next plate begins with it."""

    @property
    @abstractmethod
    def lessons(self) -> Lessons | None:
        """The lessons of a guided rehearsal, or None."""

    @property
    @abstractmethod
    def brightness_key(self) -> object:
        """What the present styles depend on."""

    @property
    @abstractmethod
    def process_names(self) -> list[str]:
        """The names of the processes to choose from."""

    @property
    @abstractmethod
    def waiting_for_first_strike(self) -> bool:
        """True while a plate stands on the bench that has not begun."""

    @abstractmethod
    def last_time(self, process: str) -> Advice | None:
        """Return what the last plate of this process said to change next time, or None."""

    @abstractmethod
    def when_seen(self, ask: Callable[[], None]) -> None:
        """Ask something of the log, at once or when the first screen was seen for a moment."""

    @abstractmethod
    def unsaved(self) -> tuple[str, ...]:
        """Return the names of the plates with events that have waited for the disk for over a second."""

    @abstractmethod
    def confirmed_text(self, process: Process) -> str | None:
        """Return since when what the process wants confirmed stands, or that it is asked; else None."""

    # --- what the screens have done ------------------------------------------------------------

    @abstractmethod
    def bench_key(self, name: str, arrived: float) -> None:
        """Take a key of the bench screen that arrived at an instant of the machine's clock."""

    @abstractmethod
    def intend(self, intent: Intent, plate: str | None = None) -> None:
        """Carry out an intent for this plate, the large one by default, and show the bench."""

    @abstractmethod
    def offer(self, form: PlateForm) -> str:
        """Put a plate on the bench as the form has it, after the questions; return what is wrong, or ""."""

    @abstractmethod
    def again(self, seconds: float | None = None) -> None:
        """Put a new plate like the last on the bench, after the questions; `seconds` is its exposure."""

    @abstractmethod
    def take_typed_reading(self, source: str, value: float | None) -> None:
        """Take a typed temperature (°C) or humidity (per cent); None takes it back."""

    @abstractmethod
    def change_bottle(self, role: str, bottle: BottleAtHand, plate: str | None = None) -> None:
        """Let what is still to come take another bottle; with `plate` that one alone on the bench."""

    @abstractmethod
    def take_off_new(self) -> None:
        """Take the plate off the bench that has not begun."""

    @property
    @abstractmethod
    def stands_in_daylight(self) -> bool:
        """Whether this screen was said to stand in daylight."""

    @abstractmethod
    def set_daylight(self, yes: bool) -> None:
        """Say whether this screen stands in daylight; nothing changes while the bench needs the safelight."""

    @abstractmethod
    def keep_dark(self) -> None:
        """Turn red when the bench needs its safelight."""

    @abstractmethod
    def black_out(self) -> None:
        """Show nothing until a key."""

    @abstractmethod
    def change_brightness(self, steps: int) -> None:
        """Change the brightness by so many steps."""

    @abstractmethod
    def say_quietly(self, about: str, text: str | None) -> None:
        """Say in one quiet line what does not work, or None when it works again."""

    def from_thread(self, action: Callable[[], None]) -> None:
        """Do something on the screen's thread; safe to call from any."""

        def do() -> None:
            with self._context():  # a screen that is closed by then no longer knows the tool
                action()

        if threading.get_ident() == self._thread_id:
            action()
        elif self.is_running and self._loop is not None:
            self._loop.call_soon_threadsafe(do)


class HostScreen(Screen[Result]):
    """A screen of ours: it knows the application, and is told of readings typed elsewhere.

    It sleeps until something that it shows changes, and does not wake at all while another covers it.
    """

    _look: Callable[[], None] | None = None
    _next_look: Timer | None = None

    @property
    def tool(self) -> Host:
        """The application."""
        app = self.app
        assert isinstance(app, Host)
        return app

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Close and give the result. A second key that was on its way then closes nothing beneath this."""
        return super().dismiss(result) if self.is_current else AwaitComplete()

    def take_field(self, field: str, text: str) -> None:
        """Take a form field that was typed on another screen."""

    def look_now(self) -> None:
        """Look at what has changed at the bench, where this screen shows anything of it."""
        if self._look is not None:
            self._look()

    def look_again(self, look: Callable[[], None]) -> None:
        """Have `look` called when a clock of the bench shows another second, or something falls due.

        It is called once, after `RESTING` seconds at the latest; only the last call counts.
        """
        self._sleep_on()
        self._look = look
        if self.is_active:
            session, now = self.tool.session, self.tool.session.now()
            view = bench_view(session.bench, now)
            self._next_look = self.set_timer(
                seconds_to_change(session, view, now, self.tool.speed, RESTING), look
            )

    def _sleep_on(self) -> None:
        if self._next_look is not None:
            self._next_look.stop()
            self._next_look = None

    def on_screen_suspend(self) -> None:
        """Another screen covers this one: it sleeps until it is seen again."""
        self._sleep_on()

    def when_gathered(self, recogniser: Recogniser, decide: Callable[[], None]) -> None:
        """Have `decide` called when the handful that is being gathered is over, or to look whether it is."""
        due = recogniser.next_due()
        if due is not None:
            left = due - self.tool.session.real_clock.up()
            self.set_timer_behind_keys(max(0.001, min(GATHERING, left)), decide)

    def set_timer_behind_keys(self, seconds: float, decide: Callable[[], None]) -> Timer:
        """Have `decide` called when time has passed, behind every key that has arrived until then.

        A key comes to its screen through the application, and a timer's callback at once: of those that wait
        while the program is busy it would be the first, and decide a handful whose second key waits.
        """
        return self.set_timer(seconds, lambda: self.app.call_later(self.call_later, decide))
