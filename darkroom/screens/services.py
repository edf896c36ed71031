"""What the full-screen tool is made of, and what it remembers between two sittings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.process.model import Process
from darkroom.screens.home.last_advice import Advice
from darkroom.screens.lettering.lettering import Blocks
from darkroom.session import key_map
from darkroom.session.plate_form import Form, plate_from
from darkroom.session.session import Session
from darkroom.session.voice import Calls


@dataclass
class Parts:
    """What the tool is made of."""

    session: Session
    calls: Calls
    form: Form
    keys: key_map.KeyMap
    bench_id: str
    boot: str
    book: Any
    scribe: Any
    home: Path
    blocks: Blocks = "half"
    speed: float = 1.0
    rehearsal: bool = False
    notice: str | None = None
    process: Process | None = None
    highest: int = 0
    later: list[Callable[[Any], None]] = field(default_factory=list)
    remembered: dict[str, Any] = field(default_factory=dict)
    cautions_read: str | None = None
    readings: Any = None
    senses: Any = None
    rehearsing: Any = None
    lessons: Any = None
    brightness: int | None = None
    only_look: bool = False
    """Another tool holds the bench: nothing of it may be written."""
    draft: dict[str, str] = field(default_factory=dict)
    """What was typed at home but is on no plate yet: {field: text}."""
    first_plate: tuple[Form, Process] | None = None
    """The plate to put on the bench when the tool opens, after the questions."""
    look_back: str | None = None
    """The filter to open the log with, above all else."""
    advice: Advice = field(init=False)
    _names: list[str] | None = None
    _called: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Nothing is read yet."""
        self.advice = Advice(self.home)

    def rehearse(self) -> None:
        """Tell the simulated thermometers' readings that are due, in a rehearsal."""
        if self.rehearsing is None:
            return
        from darkroom.session.rehearsal import NAME

        for source, value in self.rehearsing.due(self.session.now()):
            self.readings.measured(source, value, NAME)

    def today(self) -> str:
        """Return the local date."""
        return self.session.clock.stamp(self.session.clock.wall())[:10]

    def process_names(self) -> list[str]:
        """Return the file stems of the shipped processes and the user's own, shipped first."""
        from darkroom import resources

        if self._names is None:
            own = sorted(path.stem for path in (self.home / "profiles").glob("*.yaml"))
            shipped = sorted(path.stem for path in resources.profiles_dir().glob("*.yaml"))
            self._names = shipped + [name for name in own if name not in shipped]
        return self._names

    def process_named(self, word: str) -> Process:
        """Return the checked process that a name of the home screen, or a path, means.

        Raises NotReadable or ProcessError.
        """
        from darkroom import resources

        own = self.home / "profiles" / f"{word}.yaml"
        if word in self.process_names() and not (resources.profiles_dir() / own.name).exists():
            return resources.read_process(own)
        return resources.load_process(word)

    def last_process(self, form: Form) -> Process | None:
        """Return the process of the plate made last, or of the form."""
        from darkroom.errors import DarkroomError

        begun = [state for key, state in self.session.bench.plates.items() if key]
        if begun:
            return max(begun, key=lambda state: state.number).process
        try:
            return self.process_named(form.process) if form.process else None
        except DarkroomError:
            return None

    def last_seconds(self) -> float | None:
        """Return the single exposure time of the plate made last, as it stood at the lens; else None."""
        begun = [state for key, state in self.session.bench.plates.items() if key]
        if not begun:
            return None
        plan = max(begun, key=lambda state: state.number).plan
        return None if plan is None else plan.seconds

    def last_time(self, process: str) -> str | None:
        """Return what the last plate of this process said to change next time, or None."""
        from darkroom.errors import DarkroomError

        if not self.advice.known:
            return None
        if process not in self._called:
            try:
                self._called[process] = self.process_named(process).name if process else ""
            except DarkroomError:
                self._called[process] = ""
        return self.advice.of(self._called[process])

    def waiting(self) -> dict[str, float]:
        """Return {plate: seconds its oldest unsaved event has waited}."""
        return dict(self.scribe.waiting())

    def next_number(self) -> int:
        """Return the number the next plate gets."""
        on_bench = [state.number for key, state in self.session.bench.plates.items() if key]
        return 1 + max([self.highest, *on_bench])

    def plate_from(self, form: Form, process: Process) -> ev.PlateStarted:
        """Return the first line of a plate as the form has it."""
        now = self.session.now()
        return plate_from(form, process, number=self.next_number(), bench=self.bench_id, boot=self.boot,
                          at=self.session.cause(now).at, up=now, rehearsal=self.rehearsal,
                          speed=self.speed if self.rehearsal else None)  # fmt: skip

    def remember(self, form: Form, brightness: int) -> None:
        """Write bench.json when what it holds has changed."""
        if self.rehearsal or self.only_look:
            return
        bench = self.session.bench
        self.highest = max([self.highest, *(s.number for k, s in bench.plates.items() if k)])
        state = {
            "plates": [key for key, state in bench.plates.items() if key and state.phase != "ended"],
            "large": bench.large or None,
            "brightness": brightness,
            "form": msgspec.to_builtins(form),
            "number": self.highest,
            "cautions": self.cautions_read,
            "day": self.today(),
        }
        if state != self.remembered:
            self.remembered = state
            self.book.save(state)
