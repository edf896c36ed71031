"""The full-screen tool: one Textual application, its screens, and what they share."""

from __future__ import annotations

import gc
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import Binding
from textual.screen import Screen

from darkroom.bench.all_plates import NEW
from darkroom.bench.bottles_at_hand import BottleAtHand
from darkroom.bench.intents import Intent
from darkroom.log.journal.write import Saved
from darkroom.process.model import Process
from darkroom.screens.before_plate import BeforePlate
from darkroom.screens.colours import Colours
from darkroom.screens.first_look import FirstLook
from darkroom.screens.home.last_advice import Advice
from darkroom.screens.host import HostScreen, ScreenName
from darkroom.screens.late_player import SCREEN_FIRST, late_player
from darkroom.screens.lettering.lettering import Blocks
from darkroom.screens.screen_names import screen_class
from darkroom.screens.services import Opening, Services
from darkroom.session import key_map
from darkroom.session.bottle_choice import field_of
from darkroom.session.plate_form import PlateForm
from darkroom.session.session import Session
from darkroom.session.voice import CueSender

if TYPE_CHECKING:
    from darkroom.screens.device_reports import DeviceReport
    from darkroom.session.lessons import Lessons


class Tool(Colours):
    """What the screens share: the session, the last form, brightness, what is unsaved."""

    TITLE = "darkroom"
    BINDINGS: ClassVar[list[Any]] = [Binding("ctrl+c", "nothing", show=False)]

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services: Services = services
        self.session: Session = services.session
        self.cue_sender: CueSender = services.cue_sender
        self.speed: float = services.speed
        self.rehearsal: bool = services.rehearsal is not None
        self.blocks: Blocks = services.blocks
        self.key_names: dict[str, str] = key_map.shown_names(services.keys)
        if services.memory.brightness is not None:
            self.set_reactive(Tool.brightness, services.memory.brightness)
        self.cue_sender.bell = self.bell
        self.session.changed = self.soon
        self.session.open_menu = self._menu_struck
        self.before_plate = BeforePlate(self, self.put_on)
        self.session.ask_to_confirm = self._ask_to_confirm
        self._soon = False
        self.first_look = FirstLook()
        from darkroom.screens.bench.screen import BenchScreen

        self.bench_screen = BenchScreen()

    # --- what is said quietly --------------------------------------------------------------

    @property
    def notice(self) -> str | None:
        """The quiet line: what does not work, the worst first, and how much more there is."""
        return self.services.notices.text

    def say_quietly(self, about: str, text: str | None) -> None:
        """Say in one quiet line what does not work, or None when it works again."""
        self.services.notices.say(about, text)
        self.soon()

    @property
    def form(self) -> PlateForm:
        """What was last put on the bench, or typed: the next plate begins with it."""
        return self.services.memory.form

    @form.setter
    def form(self, form: PlateForm) -> None:
        self.services.memory.form = form

    # --- screens ---------------------------------------------------------------------------

    def get_default_screen(self) -> Screen[Any]:
        """The bench is the screen at the bottom of all others."""
        return self.bench_screen

    def on_mount(self) -> None:
        """Stay on the bench when there is work on it, else open the home screen."""
        opening, self.services.opening = self.services.opening, Opening()  # after a crash the bench opens
        text, plate = opening.filter, opening.plate
        if text is not None:
            self.open_screen("plates", text, opening.first_page)
        elif plate is not None:
            self.before_plate.put_on(*plate, self._first_plate_declined)
        elif not self.session.bench.on_bench:
            self.home()
        self.call_after_refresh(self._after_first_frame)

    def _after_first_frame(self) -> None:
        """Start what may be slow: sound, thermometers, the search for the highest number."""
        gc.freeze()  # what start-up made lives to the end: the collector need not look at it again
        gc.enable()
        self.services.channel.connect(lambda report: self.from_thread(lambda: self.take_report(report)))
        devices = self.services.devices
        if devices is not None:
            player = late_player(devices, self.cue_sender, self.services.keep_awake)
            self.session.reschedule_cues()
            self.set_timer(SCREEN_FIRST, player.begin)
        self.services.keep_awake()
        self.when_seen(lambda: self.services.carrying.ask(self.from_thread, self.services.take_carrying))
        if self.screen is self.bench_screen:  # the home form asks by itself
            self.when_seen(lambda: self.services.bottles.ask(self.from_thread))
        self.set_timer(SCREEN_FIRST, self.first_look.over)
        self.bench_screen.say_came_back()

    def when_seen(self, ask: Callable[[], None]) -> None:
        """Ask something of the log, at once or when the first screen was seen for a moment."""
        self.first_look.ask(ask)

    def on_unmount(self) -> None:
        """Keep reports for the next application: after a crash there is one."""
        self.services.channel.disconnect()

    def open_screen(
        self, name: ScreenName, *values: object, closed: Callable[[Any], None] | None = None
    ) -> None:
        """Open the screen of this name, made with `values`; `closed` is called with what it gives."""
        self.push_screen(screen_class(name)(*values), closed)

    def home(self) -> None:
        """Show the form for a new plate."""
        self.open_screen("home", self.form)

    def look_back(self, text: str = "") -> None:
        """Show the plates of the log; `text` is typed as its filter."""
        self.open_screen("plates", text)

    def put_on(self, form: PlateForm, process: Process) -> None:
        """Put a plate of this process on the bench and show it."""
        form.note_typed(self.session.clock.wall())
        self.form = form
        self.day = self.stands_in_daylight
        self.session.put_on(self.services.plate_from(form, process))
        said = self.services.say_not_counted
        self.when_seen(lambda: self.services.bottles.ask(self.from_thread, said))
        self.services.begin_lessons(process, lambda: self.bench_screen.blackout)
        self.services.tell_simulated_readings()
        self._remember()
        self.to_bench()

    def to_bench(self) -> None:
        """Show the bench: close what stands over it."""
        while self.screen is not self.bench_screen and len(self.screen_stack) > 1:
            self.pop_screen()
        self.bench_screen.wake()

    @property
    def process_names(self) -> list[str]:
        """Return the names that the home screen offers: shipped processes and the user's own."""
        return self.services.processes.names()

    def last_time(self, process: str) -> Advice | None:
        """Return what the last plate of this process said to change next time, or None."""
        return self.services.last_time(process)

    def confirmed_text(self, process: Process) -> str | None:
        """Return since when what the process wants confirmed stands, or that it is asked; else None."""
        return self.before_plate.said(process)

    def offer(self, form: PlateForm) -> str:
        """Put a plate on the bench as typed; ask first what must be asked. Return what is wrong, or ""."""
        return self.before_plate.offer(form)

    def _first_plate_declined(self) -> None:
        """Show the form when the plate of the command line was declined and the bench is empty."""
        if not self.session.bench.on_bench:
            self.home()

    def day_sheet(self, leaving: bool = False) -> bool:
        """Open the day's sheet where no plate is on the bench; return whether it was opened."""
        return self.before_plate.leave() if leaving else self.before_plate.show()

    def again(self, seconds: float | None = None) -> None:
        """Put a new plate like the last on the bench: two strikes, no typing; `seconds` is its exposure."""
        process = self.services.last_process()
        if process is None:
            self.home()
            return
        seconds = self.services.last_seconds() if seconds is None else seconds
        if seconds is not None:
            self.form.exposure = f"{seconds:g} s"
        self.before_plate.put_on(self.form, process)

    @property
    def lessons(self) -> Lessons | None:
        """The lessons of a guided rehearsal, or None."""
        return self.services.lessons

    def intend(self, intent: Intent, plate: str | None = None) -> None:
        """Carry out an intent chosen in a menu that was opened for this plate, the large one by default."""
        self.session.intend(intent, plate=plate)
        self.to_bench()

    def take_typed_reading(self, source: str, value: float | None) -> None:
        """Take a typed reading, or take it back: at the bench, and in the form of the next plate."""
        self.services.readings.take_typed(source, value)
        self.bench_screen.wake()
        text = "" if value is None else f"{value:g}"
        self._put_in_forms(self.form.take_reading(source, text, self.session.clock.wall()), text)

    def _put_in_forms(self, field: str, text: str) -> None:
        """Put what was said elsewhere into the form that is open, and into the one that was left."""
        if self.services.memory.draft:
            self.services.memory.draft[field] = text
        for screen in self.screen_stack:
            if isinstance(screen, HostScreen):
                screen.take_field(field, text)
        self._remember()

    def change_bottle(self, role: str, bottle: BottleAtHand, plate: str | None = None) -> None:
        """Let what is still to come take another bottle: at the bench, and in the form of the next plate."""
        self.services.bottles.change(role, bottle, plate)
        self._put_in_forms(field_of(role), bottle.name)

    def take_off_new(self) -> None:
        """Take the plate off the bench that has not begun: it has no journal."""
        self.session.take_off_new()
        if self.session.bench.on_bench:
            self.bench_screen.wake()
        else:
            self.home()

    def take_report(self, report: DeviceReport) -> None:
        """Take a report of the writer, the player or a thermometer, on the screen's thread."""
        self.services.reports.handle(report)
        if self.bench_screen.tells_unsaved or not isinstance(report, Saved):
            self.soon()

    # --- keys and changes ------------------------------------------------------------------

    def bench_key(self, name: str, arrived: float) -> None:
        """Take a key on the bench screen that arrived at an instant of the machine's clock."""
        if self.bench_screen.blackout and self.services.keys.zone_of(name) != "tell":
            self.end_blackout()
        self.session.key(name, arrived)
        self.bench_screen.wake()

    def open_menu(self) -> None:
        """Show the menu over the bench."""
        from darkroom.screens.bench.menu import open_menu

        open_menu(self)

    def _ask_to_confirm(self) -> None:
        if self.screen is self.bench_screen:
            self.before_plate.ask_at_the_bench()

    def _menu_struck(self) -> None:
        if self.screen is self.bench_screen:
            self.open_menu()

    def soon(self) -> None:
        """Draw again when what is happening now has been decided."""
        self.keep_dark()
        self.services.keep_awake()
        self.cue_sender.ring(self.session.now())
        self.bench_screen.is_stale = True
        if not self._soon and self.is_running:
            self._soon = True
            self.call_later(self._draw_again)

    def _draw_again(self) -> None:
        self._soon = False
        if self.bench_screen.is_stale:
            self.bench_screen.wake()
        if self.screen is not self.bench_screen and isinstance(self.screen, HostScreen):
            self.screen.look_now()
        self._remember()

    def _remember(self) -> None:
        self.services.memory.brightness = self.brightness
        self.services.memory.save(self.session.bench, self.services.today())

    def unsaved(self) -> tuple[str, ...]:
        """Return the names of the plates with events that are not on disk for more than a second."""
        return self.services.unsaved()

    def leave(self) -> None:
        """Leave the program; the plates stay on the bench."""
        self.exit(0)

    @property
    def waiting_for_first_strike(self) -> bool:
        """True while a plate stands on the bench that has not begun."""
        return NEW in self.session.bench.plates
