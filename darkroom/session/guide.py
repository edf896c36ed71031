"""The guide of a rehearsal: shows the bench to the lessons, and lets the voice say them. No toolkit here."""

from __future__ import annotations

from collections.abc import Callable

from darkroom.bench import cues
from darkroom.session.key_map import KeyMap
from darkroom.session.lesson import KEYS, Happening
from darkroom.session.lesson_facts import facts, is_overdue
from darkroom.session.lessons import Lessons
from darkroom.session.session import Session

SAID_AFTER = 2.5
"""A lesson is said so long after it came on, in real seconds: the answer to the last strike is heard out."""
SAID_AFTER_TOLD = 7.0
"""It is said once more so long after tell: what tells the plate is heard out."""


class Guide:
    """Looks at the bench for the lessons, and says each of them once, and again after tell.

    While a plate is in a lead-in, exposed or developed, no lesson is said: the calls come first.
    """

    def __init__(self, session: Session, lessons: Lessons, key_map: KeyMap) -> None:
        self.session, self.lessons = session, lessons
        self.is_dark: Callable[[], bool] = lambda: False
        """Whether the screen is black; the application sets it."""
        self.keys = {zone: next(iter(key_map.keys(zone)), KEYS[zone]) for zone in KEYS}
        self._overdue: set[str] = set()
        self._in_hand = ""
        self._say_at: float | None = None
        session.on_happening = self.take_happening

    def take_happening(self, happening: Happening) -> None:
        """Tell the lessons what happened at the bench."""
        now = self.session.real_clock.up()
        self.lessons.take_happening(happening, up=now)
        if happening == "told":
            self._say_at = now + SAID_AFTER_TOLD

    def look(self) -> None:
        """Show the bench to the lessons, and say the one that is due to be said."""
        bench, now = self.session.bench, self.session.now()
        overdue = {key for key, state in bench.plates.items() if is_overdue(state, now)}
        if overdue - self._overdue:
            self.take_happening("overdue")
        self._overdue = overdue
        real = self.session.real_clock.up()
        self.lessons.look(facts(bench, now, dark=self.is_dark()), real)
        if self.lessons.in_hand != self._in_hand:
            self._in_hand = self.lessons.in_hand
            if self._say_at is None or self._say_at < real + SAID_AFTER:
                self._say_at = real + SAID_AFTER
        if self._say_at is not None and real >= self._say_at and not any(map(cues.is_busy, bench.on_bench)):
            self._say_at = None
            self._say()

    def skip(self) -> None:
        """Leave out the lesson that is on."""
        self.lessons.skip()
        self.look()

    def _say(self) -> None:
        text = self.lessons.spoken(self.keys)
        if text is not None:
            self.session.answers.speak(text, instead=f"lesson {self.lessons.place().partition(' ')[0]}")
