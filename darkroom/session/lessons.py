"""The guided rehearsal: the bench learned in about ten minutes, by doing. No screen, no clock here.

The lessons are data (`lesson_texts`); `Lessons` says which one is on: the first that was not done and that
the bench has the moment for. `take_happening` tells it what happened on the bench, which it never touches: a
lesson that was done before its turn is skipped, one whose moment passes comes back with the next such moment,
and nothing the photographer does instead is wrong. What it pretends (`faults`) is for the tool to show, and
ends with the lesson.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from typing import get_args

from darkroom.bench import endings, repeats
from darkroom.process.model import Process
from darkroom.session.key_map import DEFAULT, KeyMap
from darkroom.session.lesson import KEYS, Fault, Happening, Lesson, Need
from darkroom.session.lesson_facts import Fact
from darkroom.session.lesson_texts import LAST, LAST_SPOKEN, LESSONS, WAITING

SETTLE = 1.5
"""So long a lesson is read before its pretended fault begins, in seconds."""


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
        self.lesson: Lesson | None = None
        """The lesson that is on; None while the bench has no moment for one that is left."""
        self._left = list(lessons)
        self._happened: Counter[str] = Counter()
        self._facts: frozenset[Fact] = frozenset()
        self._since = self._now = now or 0.0

    @classmethod
    def for_process(
        cls,
        process: Process,
        *,
        key_map: KeyMap | None = None,
        keys: Mapping[str, str] = KEYS,
        now: float | None = None,
    ) -> Lessons:
        """Return the lessons that a process has stages for, and the key map has keys for."""
        needs_met = needs_met_by(process) | needs_met_by_keys(key_map or KeyMap())
        lessons = tuple(lesson for lesson in LESSONS if needs_met.issuperset(lesson.needs))
        return cls(lessons, keys=keys, now=now)

    @property
    def done(self) -> bool:
        """True after the last lesson."""
        return not self._left

    @property
    def in_hand(self) -> str:
        """What changes when another lesson comes: its name, "waiting" or "done"."""
        return "done" if self.done else self.lesson.name if self.lesson is not None else "waiting"

    def look(self, facts: Collection[Fact], now: float) -> None:
        """Take note of what holds on the bench at `now`: the lesson that is on may be another."""
        self._facts = frozenset(facts)
        self._update(now)
        self._choose()

    def text(self, now: float) -> str:
        """Return what to do now: one or two short sentences."""
        self._update(now)
        if self.lesson is None:
            return (LAST if self.done else WAITING).format(**self.keys)
        lesson = self.lesson
        return (lesson.hint if self.is_slow(now) and lesson.hint else lesson.text).format(**self.keys)

    def spoken(self, keys: Mapping[str, str]) -> str | None:
        """Return what the voice says of the lesson that is on, with these names of the keys, or None."""
        if self.done:
            return LAST_SPOKEN
        return None if self.lesson is None else self.lesson.spoken.format(**{**KEYS, **keys})

    def is_slow(self, now: float) -> bool:
        """Return whether the lesson that is on has been on so long that its hint is said."""
        return self.lesson is not None and now - self._since >= self.lesson.slow

    def place(self) -> str:
        """Return how far the lessons are, as "3 of 27"."""
        whole = len(self.lessons)
        return f"{min(whole - len(self._left) + 1, whole)} of {whole}"

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
        if self.lesson is not None and kind in self.lesson.until:
            self._end(self.lesson)

    def skip(self) -> None:
        """Leave out the lesson that is on, or the next one while none is."""
        if self._left:
            self._end(self.lesson or self._left[0])

    def faults(self, now: float) -> frozenset[Fault]:
        """Return what the tool is to pretend now: the sound lost, or the plates not saved."""
        self._update(now)
        lesson = self.lesson
        if lesson is None or lesson.fault is None or now - self._since < SETTLE:
            return frozenset()
        return frozenset({lesson.fault})

    def _update(self, now: float) -> None:
        self._now = now
        if self.lesson is not None and now - self._since >= self.lesson.gives_up:
            self._end(self.lesson)

    def _end(self, lesson: Lesson) -> None:
        """Count a lesson as done; the next one comes with the next look at the bench."""
        self._left.remove(lesson)
        self.lesson = None

    def _choose(self) -> None:
        """Keep the lesson that is on while its moment lasts, else take the first one whose moment it is."""
        if self.lesson is not None and self._facts.issuperset(self.lesson.when):
            return
        self._left = [
            lesson
            for lesson in self._left
            if lesson.again or not any(self._happened[kind] for kind in lesson.until)
        ]
        fitting = (lesson for lesson in self._left if self._facts.issuperset(lesson.when))
        self.lesson, self._since = next(fitting, None), self._now


def needs_met_by(process: Process) -> set[Need]:
    """Return which of the lessons' needs a process meets."""
    needs: set[Need] = set()
    if process.wet_window is not None:
        needs.add("wet")
    for stage in process.stages:
        ending = endings.of(stage)
        if ending.opens_lens:
            needs.add("exposure")
        if stage.lead_in:
            needs.add("lead_in")
        if ending.clears:
            needs.add("cleared")
        if ending.calls and not process.is_free_early(stage):
            needs.add("question")
        if stage.wash is not None and repeats.repeat_of(stage) is not None:
            needs.add("changes")
        if stage.rack:
            needs.add("rack")
    return needs


def needs_met_by_keys(keys: KeyMap) -> set[Need]:
    """Return "pedal" where go has a key that it has not as shipped, "three_pedals" where tell has one too."""
    needs: set[Need] = set()
    own = {zone for zone in ("go", "tell") if not set(keys.keys(zone)) <= set(DEFAULT[zone])}
    if "go" in own:
        needs.add("three_pedals" if "tell" in own else "pedal")
    return needs
