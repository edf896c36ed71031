"""A learner at a real terminal: reads the lesson from the screen and does what it says, by keys alone."""

from __future__ import annotations

import time
from contextlib import suppress
from pathlib import Path

from darkroom.session import key_map
from darkroom.session.lesson import Lesson
from darkroom.session.lesson_texts import LAST, LESSONS, WAITING
from tests.kit.letters import reads, small_text
from tests.kit.menu import move_to
from tests.kit.photographer import CHANGED, UNLOCKED, Photographer, with_times

NAMES = key_map.shown_names(key_map.KeyMap())


def short_process(folder: Path) -> Path:
    """Write a copy of the shipped clear-glass file with a short bath and a quick wash; return its path."""
    changes = (
        (r"time: \{10 °C: 4 min 30 s, 20 °C: 3 min 30 s, 30 °C: 2 min 45 s\}", "time: 90 s"),
        (r"time: \{at: 20 °C, is: 15 s, coefficient: 1.9\}", "time: {at: 20 °C, is: 8 s, coefficient: 1.9}"),
        (r"patience: 2 min .*", "patience: 5 s"),
        (r"lag: 2 min", "lag: 30 s"),
        (r"expect: \[30 s, 2 min\]    # until it clears", "expect: [3 s, 2 min]    # until it clears"),
    )
    return with_times(folder, changes)


class Learner(Photographer):
    """Works a guided rehearsal by what the screen says; `learned` are the lessons that it read, in order."""

    def __init__(self, home: Path, columns: int, rows: int) -> None:
        super().__init__(home, columns, rows)
        self.learned: tuple[str, ...] = ()

    def read_lesson(self) -> Lesson | None:
        """Return the lesson that the screen shows whole, None while it says to work on or that it was all."""
        shown = " ".join(self.terminal.screen().split())
        if _shows(shown, WAITING) or self.is_done():
            return None
        found = [lesson for lesson in LESSONS if _shows(shown, lesson.text) or _shows(shown, lesson.hint)]
        return found[0] if found else None

    def is_done(self) -> bool:
        """Return whether the screen says that it was all."""
        return _shows(" ".join(self.terminal.screen().split()), LAST)

    def learn(self) -> None:
        """Do what the lessons say until the last one is done."""
        for _ in range(200):
            self.wait(lambda _: self.is_done() or self.read_lesson() is not None or self.has_work())
            if self.is_done():
                return
            lesson = self.read_lesson()
            if lesson is None:
                self.strike_on()
                continue
            if lesson.name not in self.learned[-1:]:
                self.learned += (lesson.name,)
            self.do(lesson)
        raise AssertionError(f"the lessons never end:\n{self.terminal.screen()}")

    def strike_on(self) -> None:
        """Strike once where the bench asks for it, and wait until the screen is another."""
        before = self.terminal.screen()
        self.press("space")
        self.wait(lambda screen: screen != before)

    def do(self, lesson: Lesson) -> None:
        """Do what a lesson says, and wait until the screen shows another, or that nothing came of it."""
        match lesson.name:
            case "tell":
                self.press("0")
            case "earlier":
                self.press("1")
            case "handful":
                self.press(" cvb")
            case "question":
                self.press("space")
                self.wait("again to lift")
                self.press("backspace")
            case "void":
                self.press(b" \x7f".decode())
            case "dead":
                self.press("q")
            case "undo":
                self.press("backspace")
            case "longer":
                self.press("up")
            case "two plates":
                self.press("left")
            case "second plate":
                self.choose("New plate like the last")
                self.press("space")
                self.press("space")
            case "test plate":
                self.choose("Set the exposure")
                self.press("space")
                self.write("Exposure (now", "4,4,8")
            case "temperatures":
                self.choose("Temperatures and humidity")
                self.press("space")
                self.wait("bath: ")
                self.press("down")
                self.press("space")
                self.write("Bath temperature", "24")
            case "yes":
                self.press("space")
                self.wait(lambda screen: reads("again to rack", screen) or reads("noted", screen))
                if not reads("again to rack", self.terminal.screen()):
                    return  # it noted a change of the water: the lesson is still on
                time.sleep(CHANGED)
                self.press("space")
            case "rack":
                self.choose("Take a plate from the rack")
                self.press("space")
                self.wait("finish unvarnished")
                self.press("space")
            case "sound lost" | "not saved":
                self.wait(lesson.name)
                self.press("6")
            case "blackout":
                self.choose("Blackout")
                self.press("space")
                self.wait(lambda screen: not screen.strip())
                self.press("0")
                self.press("space")
            case "changes":
                self.called_to("CHANGE")
                self.press("space")
            case "overdue" | "large place" | "exposure":
                self.wait(lambda _: self.read_lesson() is not lesson)
                time.sleep(CHANGED)
            case _:
                self.press("space")
        with suppress(TimeoutError):  # it was refused, as in the first second after "plate 2 now": once more
            self.wait(lambda _: self.read_lesson() is not lesson, 3.0)

    def choose(self, label: str) -> None:
        """Open the menu and move to a row."""
        self.press("escape")
        self.wait(" Menu")
        move_to(label, [self.terminal])

    def write(self, title: str, text: str) -> None:
        """Type into the dialog of this title and enter it."""
        self.wait(title)
        time.sleep(max(0.0, self.terminal.sent + UNLOCKED - time.monotonic()))
        self.terminal.send(text)
        self.wait(text)
        self.terminal.send("enter")

    def has_work(self) -> bool:
        """Return whether the bench itself asks for a strike now, and no lesson is on."""
        screen = self.terminal.screen()
        asked = f"{screen} {small_text(screen)}".upper()
        return _shows(" ".join(screen.split()), WAITING) and "PRESS" in asked and "EACH CALL" not in asked


def _shows(shown: str, text: str) -> bool:
    """Return whether a screen without its line breaks has this text of a lesson."""
    return bool(text) and text.format(**NAMES) in shown
