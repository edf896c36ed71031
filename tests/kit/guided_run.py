"""A learner who does what each lesson of a guided rehearsal says, on a clock that is moved by hand."""

from __future__ import annotations

from collections.abc import Callable

from darkroom.bench import instruction, large_place, repeats
from darkroom.bench import intents as want
from darkroom.devices.clock import Watch
from darkroom.process.file.plain_form import to_plain
from darkroom.process.model import ExposurePlan, Process
from darkroom.session.guide import Guide
from darkroom.session.key_map import NUDGES, KeyMap
from darkroom.session.lessons import Lessons
from darkroom.session.rehearsal import FastClock
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser
from tests.kit.bench import start
from tests.kit.clocks import HandClock
from tests.kit.session import KeptVoice, MemoryJournal

READS = 8.0
"""Seconds in which a lesson is read before it is done."""


class GuidedRun:
    """A guided rehearsal of a process; `learned` are the lessons that were on, in order.

    `shown` are the sentences of what the hand does that the bench has shown.
    """

    def __init__(self, process: Process, speed: float = 5.0, keys: KeyMap | None = None) -> None:
        self.process, self.speed, self.keys = process, speed, keys or KeyMap()
        self.real, self.voice, journal = HandClock(), KeptVoice(), MemoryJournal()
        self.clock = FastClock(self.real, speed)
        self.session = Session(
            clock=self.clock,
            real_clock=self.real,
            watch=Watch(self.clock, speed=speed),
            writer=journal,
            voice=self.voice,
            recogniser=Recogniser(self.keys.zone_of, NUDGES),
            new_id=lambda wall: f"p{len(journal.files) + 1}",
            next_number=lambda bench: len(journal.files) + 1,
            pace=speed,
        )
        self.lessons = Lessons.for_process(process, key_map=self.keys, now=self.real.up())
        self.guide = Guide(self.session, self.lessons, self.keys)
        self.is_dark = False
        self.guide.is_dark = lambda: self.is_dark
        self.learned: list[str] = []
        self.shown: set[str] = set()
        self.began = self.real.up()
        self.put_on()

    def put_on(self) -> None:
        """Put a plate on the bench, with the exposure of a guided rehearsal."""
        plan, now = ExposurePlan(seconds=20.0), self.clock.stamp(self.clock.wall())
        for question in self.session.confirmations.missing(self.process, now):
            self.session.confirmations.confirm(self.process, question, now)
        started = start(
            up=self.clock.up(), process=to_plain(self.process), plan=plan, rehearsal=True, speed=self.speed
        )
        self.session.put_on(started)

    def wait(self, seconds: float) -> None:
        """Let real time pass, a tenth of a second after another."""
        for _ in range(round(seconds * 10)):
            self.real.move(0.1)
            self.session.tick()
            self.guide.look()
            self._note_what_is_shown()
            if self.lessons.lesson is not None and self.lessons.lesson.name not in self.learned[-1:]:
                self.learned.append(self.lessons.lesson.name)

    def _note_what_is_shown(self) -> None:
        state = self.session.bench.shown
        if state is not None:
            self.shown.add(instruction.sentence(state, self.session.now()))

    def wait_until(self, condition: Callable[[], bool], at_most: float) -> None:
        """Wait until a condition holds, for so many real seconds at most."""
        end = self.real.up() + at_most
        while not condition() and self.real.up() < end:
            self.wait(0.1)

    def press(self, *keys: str) -> None:
        """Press keys as one handful, a strike of its own, and wait until it is decided."""
        self.wait(1.2)
        for key in keys:
            self.session.key(key)
        self.wait(0.2)

    def learn(self, at_most: float) -> None:
        """Do what the lessons say, and work the plates on where none is on, for so many real seconds."""
        while not self.lessons.done and self.real.up() < self.began + at_most:
            self.wait(READS)
            lesson = self.lessons.lesson
            if lesson is None:
                self.work_on()
            else:
                self.do(lesson.name)

    @property
    def took(self) -> float:
        """The real seconds since the beginning."""
        return self.real.up() - self.began

    def work_on(self) -> None:
        """Strike where the large plate stands ready, calls, or runs by eye."""
        state = self.session.bench.shown
        if state is None:
            return
        now = self.session.now()
        by_eye = state.phase == "running" and state.stage.ends in ("by_eye", "cleared")
        cleared = state.stage.ends == "cleared" and state.cleared_at is not None
        if state.phase == "ready" or large_place.calling_since(state, now) or (by_eye and not cleared):
            self.press("space")

    def do(self, name: str) -> None:
        """Do what a lesson says."""
        session = self.session
        match name:
            case "strike" | "wet" | "lead-in" | "developer" | "strips" | "clearing" | "pedal":
                self.press("space")
            case "tell" | "three pedals":
                self.press("0")
            case "handful":
                self.press("space", "c", "v", "b")
            case "earlier":
                self.press("1")
            case "question":
                self.press("space")
                self.press("backspace")
            case "void":
                self.press("space", "backspace")
            case "dead":
                self.press("q")
            case "undo":
                self.press("backspace")
            case "longer":
                self.press("up")
            case "second plate":
                self.put_on()
                self.press("space")
            case "test plate":
                session.intend(want.SetPlan(ExposurePlan(steps=(10.0, 10.0, 20.0))))
            case "temperatures":
                session.intend(want.ReadTemperature("bath", 24.0, "hand"))
            case "two plates":
                self.press("left")
            case "changes":
                self.wait_until(self._change_is_called, 30.0)
                self.press("space")
            case "yes":
                self.press("space")
                self.press("space")
            case "rack":
                session.intend(want.FromRack(session.bench.rack[0].plate))
            case "sound lost" | "not saved":
                self.press("6")
            case "blackout":
                self.is_dark = True
                session.on_happening("blackout")
            case "dark":
                self.press("0")
                self.is_dark = False
                self.press("space")
            case "overdue" | "large place" | "exposure":
                self.wait(5.0)
            case _:
                raise AssertionError(f"no learner knows the lesson '{name}'")

    def _change_is_called(self) -> bool:
        state = self.session.bench.shown
        return state is not None and repeats.change_to_note(state, self.session.now()) is not None
