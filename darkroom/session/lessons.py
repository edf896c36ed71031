"""The guided rehearsal: the bench learned in ten minutes, by doing. No screen, no clock here.

The lessons are data; `Lessons` says which one is on. `take_happening` tells it what happened on the bench,
which it never touches: a lesson that was done before its turn is skipped, and nothing the photographer
does instead is wrong. What it pretends (`faults`) is for the tool to show, and ends with the lesson.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from darkroom.bench import endings
from darkroom.process.model import Process

Happening = Literal[
    "strike",  # a strike of the go zone was accepted
    "void",  # a handful over two live zones
    "dead",  # a key that does nothing
    "refused",  # an intent was refused
    "undone", "put_back", "earlier", "mark", "looked", "told",
    "lead_in",  # a lead-in began
    "started",  # a stage began
    "exposed",  # an exposure ended
    "developing",  # the stage that ends the wet time began
    "cleared",
    "new_plate",  # a further plate's first strike
    "ended",  # a plate is finished
]  # fmt: skip
"""What the bench can tell the lessons."""

Fault = Literal["sound_lost", "not_saved"]
Need = Literal["exposure", "lead_in", "wet", "cleared"]

KEYS = {"go": "space", "undo": "backspace", "mark": "6", "menu": "escape", "left": "left"}
"""The names of the keys as shipped, for the texts."""
SETTLE = 1.5
"""So long a lesson is read before its pretended fault begins, in seconds."""


@dataclass(frozen=True)
class Lesson:
    """One thing to do: what the screen says, what ends it.

    `until` are the happenings that end it, any of them. Unless `again`, one that happened before counts.
    `hint` is said after `slow` seconds. `gives_up` ends it by itself after so many seconds. `needs` names
    what a process must have for the lesson to make sense.
    """

    name: str
    text: str
    until: tuple[Happening, ...]
    hint: str = ""
    slow: float = 20.0
    again: bool = False
    gives_up: float = math.inf
    needs: tuple[Need, ...] = ()
    fault: Fault | None = None


LESSONS: tuple[Lesson, ...] = (
    Lesson(
        "strike",
        "Nothing runs yet. Strike {go} once, with one hand: the plate starts and you begin to pour.",
        ("strike",),
        "Any key from X to M does the same.",
    ),
    Lesson(
        "handful",
        "A wet glove hits several keys. Slap {go} and the keys above it together: it counts as one strike.",
        ("strike",),
        "Use flat fingers, all at once. One slap is one step, however many keys it hits.",
        again=True,
    ),
    Lesson(
        "void",
        "Now hit {go} and {undo} together. They mean different things, so neither is done.",
        ("void",),
        "Both within a moment of each other. It says that nothing was done.",
    ),
    Lesson(
        "dead",
        "Hit a key far from the others, such as Q. It does nothing, and says so softly.",
        ("dead",),
    ),
    Lesson(
        "undo",
        "Say that last step came too soon. Strike {undo}: it is taken back, and the clock was never wrong.",
        ("undone",),
        "If it asks, strike {undo} a second time at once.",
    ),
    Lesson(
        "on again",
        "The step is back and its time has run on. Strike {go} to go on.",
        ("strike",),
        again=True,
    ),
    Lesson(
        "wet",
        "Work on: at the call, strike. Out of the silver bath the large time is the wet clock.",
        ("lead_in", "exposed", "developing"),
        "Strike at each end. Before the plate is lifted, wet time left and time needed stand side by side.",
        slow=60.0,
        needs=("wet",),
    ),
    Lesson(
        "lead-in",
        "Where a stage stands ready, strike: a lead-in counts, your hand goes to the cap, then it starts.",
        ("lead_in",),
        "A strike within the lead-in starts it at once.",
        slow=45.0,
        needs=("lead_in",),
    ),
    Lesson(
        "exposure",
        "The lens is open. With a time set it ends by itself; without one your strike ends it: cap on.",
        ("exposed",),
        slow=45.0,
        needs=("exposure",),
    ),
    Lesson(
        "developer",
        "Now the developer, before the wet clock is out. Strike, pour at the start call, watch the plate.",
        ("developing",),
        "It may be late: the developer is never refused.",
        slow=45.0,
        needs=("wet",),
    ),
    Lesson(
        "clearing",
        "Go on to the fixer. When the last of the yellow would have gone, strike: it has cleared.",
        ("cleared",),
        "Then it counts on, as long again. A strike before that end is refused, with the time left.",
        slow=60.0,
        needs=("cleared",),
    ),
    Lesson(
        "second plate",
        "Two plates at once: {menu}, new plate like the last, then strike {go}. It needs no typing.",
        ("new_plate",),
        "The enter key chooses in the menu.",
        slow=30.0,
    ),
    Lesson(
        "two plates",
        "Both run. A plate being coated or wet is large; another that calls waits. Look at it: {left}.",
        ("looked",),
        "The other plates stand in the line below, with stage and time.",
        slow=30.0,
    ),
    Lesson(
        "sound lost",
        "Now the sound has died: see where the screen says so. All else goes on. Seen it? Strike {mark}.",
        ("mark",),
        "In earnest: work by the screen, and look at the speaker when no plate is wet.",
        again=True,
        gives_up=90.0,
        fault="sound_lost",
    ),
    Lesson(
        "not saved",
        "Now the disk is full: plates are marked not saved. Nothing stops; it is tried again. Strike {mark}.",
        ("mark",),
        "In earnest: make room on the disk. All that waits is then written, in its order.",
        again=True,
        gives_up=90.0,
        fault="not_saved",
    ),
)

LAST = "That was all. Work both plates to the end, or leave by {menu}. Nothing here counts as a real plate."


class Lessons:
    """Which lesson is on. `now` is by the machine's own clock, in seconds: hands are not faster here."""

    def __init__(
        self,
        lessons: tuple[Lesson, ...] = LESSONS,
        *,
        keys: Mapping[str, str] = KEYS,
        now: float | None = None,
    ) -> None:
        self.lessons, self.keys = lessons, {**KEYS, **keys}
        self.index = 0
        self._happened: Counter[str] = Counter()
        self._since = now
        self._now = now

    @classmethod
    def for_process(
        cls, process: Process, *, keys: Mapping[str, str] = KEYS, now: float | None = None
    ) -> Lessons:
        """Return the lessons that a process has stages for."""
        needs_met = needs_met_by(process)
        lessons = tuple(lesson for lesson in LESSONS if needs_met.issuperset(lesson.needs))
        return cls(lessons, keys=keys, now=now)

    @property
    def lesson(self) -> Lesson | None:
        """The lesson that is on, None after the last."""
        return self.lessons[self.index] if self.index < len(self.lessons) else None

    @property
    def done(self) -> bool:
        """True after the last lesson."""
        return self.lesson is None

    def text(self, now: float) -> str:
        """Return what to do now: one or two short sentences."""
        self._update(now)
        lesson = self.lesson
        if lesson is None:
            return LAST.format(**self.keys)
        is_slow = now - (now if self._since is None else self._since) >= lesson.slow
        return (lesson.hint if is_slow and lesson.hint else lesson.text).format(**self.keys)

    def place(self) -> str:
        """Return how far the lessons are, as "3 of 15"."""
        return f"{min(self.index + 1, len(self.lessons))} of {len(self.lessons)}"

    def take_happening(self, kind: Happening, **facts: object) -> None:
        """Take note of something that happened; `up` among the facts is when, by the machine's clock.

        Raises ValueError for a happening the lessons do not know.
        """
        if kind not in get_args(Happening):
            raise ValueError(f"the lessons know no '{kind}'")
        up = facts.get("up")
        if isinstance(up, int | float):
            self._now = float(up)
        self._happened[kind] += 1
        lesson = self.lesson
        if lesson is not None and kind in lesson.until:
            self._next()

    def skip(self) -> None:
        """Leave the lesson that is on."""
        if self.lesson is not None:
            self._next()

    def faults(self, now: float) -> frozenset[Fault]:
        """Return what the tool is to pretend now: the sound lost, or the plates not saved."""
        self._update(now)
        lesson = self.lesson
        if lesson is None or lesson.fault is None or self._since is None or now - self._since < SETTLE:
            return frozenset()
        return frozenset({lesson.fault})

    def _update(self, now: float) -> None:
        self._now = now
        if self._since is None:
            self._since = now
        lesson = self.lesson
        if lesson is not None and now - self._since >= lesson.gives_up:
            self._next()

    def _next(self) -> None:
        """Go to the next lesson that has not been done already."""
        self.index += 1
        while (lesson := self.lesson) is not None and not lesson.again:
            if not any(self._happened[kind] for kind in lesson.until):
                break
            self.index += 1
        self._since = self._now


def needs_met_by(process: Process) -> set[Need]:
    """Return which of the lessons' needs a process meets."""
    needs: set[Need] = set()
    if process.wet_window is not None:
        needs.add("wet")
    for stage in process.stages:
        if endings.of(stage).opens_lens:
            needs.add("exposure")
        if stage.lead_in:
            needs.add("lead_in")
        if endings.of(stage).clears:
            needs.add("cleared")
    return needs
