"""What the full-screen tool is made of, and what it asks."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from darkroom.bench import events as ev
from darkroom.bench.all_plates import NEW, recent
from darkroom.bench.state import PlateState
from darkroom.bench.working_day import working_day
from darkroom.errors import DarkroomError
from darkroom.log.days.book import DayBook
from darkroom.log.journal.write import JournalWriter
from darkroom.process.model import Process
from darkroom.screens.bottles_at_hand import BottlesAtHand
from darkroom.screens.closing import Closing
from darkroom.screens.device_reports import Devices, ReportChannel, ReportHandler
from darkroom.screens.exposure_planner import ExposurePlanner
from darkroom.screens.home.last_advice import Advice, AdviceReader
from darkroom.screens.known_carrying import CarryingReader
from darkroom.screens.lettering.lettering import Blocks
from darkroom.screens.memory import Memory
from darkroom.screens.notices import Notices
from darkroom.screens.process_list import ProcessList
from darkroom.session import bottle_choice, key_map
from darkroom.session.plate_form import PlateForm, plate_from
from darkroom.session.readings import Readings
from darkroom.session.session import Session
from darkroom.session.voice import CueSender

if TYPE_CHECKING:
    from darkroom.exposure.learned import Learned
    from darkroom.screens.log_list.first_page import FirstPage
    from darkroom.session.guide import Guide
    from darkroom.session.lessons import Lessons
    from darkroom.session.rehearsal import Rehearsal


@dataclass
class Opening:
    """What the tool opens with; each is used once."""

    plate: tuple[PlateForm, Process] | None = None
    """The plate to put on the bench, after the questions."""
    filter: str | None = None
    """The filter to open the log with, above all else."""
    first_page: FirstPage | None = None
    """The first page of the log with that filter, asked for already."""


@dataclass
class Services:
    """What the tool is made of."""

    home: Path
    bench_id: str
    boot: str
    keys: key_map.KeyMap
    session: Session
    cue_sender: CueSender
    journal_writer: JournalWriter
    memory: Memory
    channel: ReportChannel
    devices: Devices | None
    """None beside another tool: nothing is heard or measured."""
    rehearsal: Rehearsal | None = None
    only_look: bool = False
    """Another tool holds the bench: nothing of it may be written."""
    blocks: Blocks = "half"
    guide: Guide | None = None
    """What guides a rehearsal through its lessons."""
    opening: Opening = field(default_factory=Opening)
    notices: Notices = field(default_factory=Notices)
    day_book: DayBook = field(init=False)
    readings: Readings = field(init=False)
    reports: ReportHandler = field(init=False)
    processes: ProcessList = field(init=False)
    advice: AdviceReader = field(init=False)
    carrying: CarryingReader = field(init=False)
    planner: ExposurePlanner = field(init=False)
    bottles: BottlesAtHand = field(init=False)
    closing: Closing = field(init=False)

    def __post_init__(self) -> None:
        """Make what is made of the others; nothing is read yet."""
        self.readings = Readings(self.session)
        self.reports = ReportHandler(
            self.session, self.cue_sender, self.readings, self.notices, self.journal_writer.waiting
        )
        self.day_book = DayBook(self.home, self.bench_id, kept=self.memory.kept, trouble=self._day_not_saved)
        self.processes = ProcessList(self.home)
        self.advice = AdviceReader(self.home)
        self.carrying = CarryingReader(self.home, self.bench_id)
        self.bottles = BottlesAtHand(self.home, self.session, self.memory, self.notices)
        self.planner = ExposurePlanner(
            self.home, self.now_at, self.notices, self._developer, self.bottles.collodion_made
        )
        others = ("the day's sheet", self.day_book.close), (None, self.memory.book.close)
        self.closing = Closing(self.home, self.journal_writer, lambda: self.session.bench.plates, others)

    @property
    def speed(self) -> float:
        """How many seconds of the bench pass in one of the machine's."""
        return 1.0 if self.rehearsal is None else self.rehearsal.speed

    def _developer(self) -> float | None:
        """Return the latest reading of the developer's temperature in °C, None without one."""
        reading = recent(self.session.bench, self.session.now()).get("developer")
        return None if reading is None else reading[0]

    def _day_not_saved(self, why: str | None) -> None:
        """Say quietly that the day's sheet is not saved; called from the book's thread."""
        self.notices.say("day", why)

    def now_at(self) -> str:
        """Return the instant as RFC 3339 text with the local offset."""
        return self.session.clock.stamp(self.session.clock.wall())

    def today(self) -> str:
        """Return the day that work belongs to."""
        return working_day(self.now_at())

    def tell_simulated_readings(self) -> None:
        """Tell the simulated thermometers' readings that are due, in a rehearsal."""
        if self.rehearsal is None:
            return
        from darkroom.session.rehearsal import NAME

        for source, value in self.rehearsal.due(self.session.now()):
            self.readings.take_measured(source, value, NAME)

    def _last_plate(self) -> PlateState | None:
        begun = [state for key, state in self.session.bench.plates.items() if key]
        return max(begun, key=lambda state: state.number, default=None)

    def last_process(self) -> Process | None:
        """Return the process of the plate made last, or of the form."""
        last = self._last_plate()
        if last is not None:
            return last.process
        try:
            return self.processes.read(self.memory.form.process) if self.memory.form.process else None
        except DarkroomError:
            return None

    def last_seconds(self) -> float | None:
        """Return the single exposure time of the plate made last, as it stood at the lens; else None."""
        last = self._last_plate()
        return None if last is None or last.plan is None else last.plan.seconds

    def last_time(self, process: str) -> Advice | None:
        """Return what the last plate of this process said to change next time, or None."""
        return self.advice.of(self.processes.title(process)) if self.advice.known else None

    def fault_before(self, process: str) -> str:
        """Return since when the plates of this process have a fault and what to try; nothing without one."""
        return self.advice.fault_of(self.processes.title(process)) if self.advice.faults_known else ""

    def learned_like_last(self) -> Learned | None:
        """Return what the judged plates propose for a plate like the last; None while it is not known."""
        process = self.last_process() if self.planner.known else None
        if process is None:
            return None
        return self.planner.of(self.planner.conditions(self.memory.form, process))

    def advised_like_last(self) -> Advice | None:
        """Return what the log says of a plate like the last, as the form has it; None while unknown."""
        process = self.last_process() if self.advice.known and self.rehearsal is None else None
        return None if process is None else self.advice.of(process.name)

    def learn_like_last(
        self, deliver: Callable[[Callable[[], None]], None], on_known: Callable[[], None]
    ) -> None:
        """Learn what the judged plates propose for a plate like the last; `on_known` is called then."""
        process = self.last_process()
        if process is not None:
            conditions = self.planner.conditions(self.memory.form, process)
            self.planner.ask(conditions, deliver, on_known, again=True)

    def unsaved(self) -> tuple[str, ...]:
        """Return the names of the plates with events that are not on disk for more than a second."""
        bench = self.session.bench
        if self.lessons is not None and "not_saved" in self.lessons.faults(self.session.real_clock.up()):
            return tuple(f"plate {state.number}" for state in bench.on_bench if state.number)
        late = [plate for plate, seconds in self.journal_writer.waiting().items() if seconds > 1.0]
        plates = bench.plates
        return tuple(f"plate {plates[plate].number}" if plate in plates else plate for plate in late)

    def keep_awake(self) -> None:
        """Keep the machine awake while a plate is on the bench; plates on the rack let it sleep."""
        if self.devices is not None:
            self.devices.keep_awake(bool(self.session.bench.on_bench))

    def next_number(self) -> int:
        """Return the number the next plate gets."""
        return self.memory.next_number(self.session.bench)

    def plate_from(self, form: PlateForm, process: Process) -> ev.PlateStarted:
        """Return the first line of a plate as the form has it."""
        now = self.session.now()
        rehearsal = self.rehearsal is not None
        bottle_choice.settle(form, self.session.bench.bottles, process)
        scene, proposed = self.planner.members(form, process)
        start = plate_from(
            form,
            process,
            number=self.next_number(),
            bench=self.bench_id,
            boot=self.boot,
            at=self.session.cause(now).at,
            up=now,
            rehearsal=rehearsal,
            speed=self.speed if rehearsal else None,
            scene=scene,
            proposed=proposed,
        )
        return self.carrying.with_carry(start)

    def due_line(self) -> str:
        """Return what the bottles need now in one short line; what was ticked today is left out."""
        dues = self.bottles.known.dues
        return self.bottles.due_line(self.day_book.day(self.now_at()).seen) if dues else ""

    def say_not_counted(self) -> None:
        """Say quietly which bottles the plate that waits for its first strike does not name."""
        state = self.session.bench.plates.get(NEW)
        if state is None or self.rehearsal is not None:
            return
        bottles = self.session.bench.bottles
        roles = bottle_choice.not_chosen(state.start.bottles or {}, bottles, state.process)
        if roles:
            self.session.answers.show(bottle_choice.not_counted(roles))

    def take_carrying(self) -> None:
        """Give what was read of the way back to the plate that waits for its first strike."""
        self.session.bench = self.carrying.on_bench(self.session.bench)

    @property
    def lessons(self) -> Lessons | None:
        """The lessons of a guided rehearsal, or None."""
        return None if self.guide is None else self.guide.lessons

    def begin_lessons(self, process: Process, is_dark: Callable[[], bool]) -> None:
        """Begin the lessons of a guided rehearsal with its first plate; `is_dark`: is the screen black?"""
        if self.rehearsal is None or not self.rehearsal.guided or self.guide is not None:
            return
        from darkroom.session.guide import Guide
        from darkroom.session.lessons import Lessons

        names, now = key_map.shown_names(self.keys), self.session.real_clock.up()
        lessons = Lessons.for_process(process, key_map=self.keys, keys=names, now=now)
        self.guide = Guide(self.session, lessons, self.keys)
        self.guide.is_dark = is_dark

    def look_for_lessons(self) -> None:
        """Show the bench to the lessons of a guided rehearsal."""
        if self.guide is not None:
            self.guide.look()

    def close(self, say: Callable[[str], None] = lambda text: None) -> bool:
        """Save what waits and stop the devices; return whether all is saved; see `Closing`."""
        all_saved = self.closing.run(say)
        if self.devices is not None:
            with suppress(Exception):  # of our own: the answer is whether all is saved
                self.devices.stop()
        return all_saved
