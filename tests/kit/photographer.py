"""A photographer at a real terminal: the shipped clear-glass process with short times, real keys."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from darkroom.bench.fold import fold
from darkroom.bench.state import PlateState
from darkroom.log.journal.merge import read_plate
from darkroom.resources import profiles_dir
from tests.kit.day import TITLE
from tests.kit.letters import large_text_is_shown, reads
from tests.kit.terminal import KEYS, PATIENCE, Terminal

ARGV = [sys.executable, "-m", "darkroom"]


def shortened(folder: Path) -> Path:
    """Write a copy of the shipped clear-glass file with its times shortened; return its path."""
    changes = (
        (r"time: \{10 °C: 4 min 30 s, 20 °C: 3 min 30 s, 30 °C: 2 min 45 s\}", "time: 4 s"),
        (r"lead_in: 5 s", "lead_in: 1 s"),
        (r"expect: \[30 s, 2 min\]", "expect: [1 s, 2 min]"),
        (r"time: \{at: 20 °C, is: 15 s, coefficient: 1.9\}", "time: {at: 20 °C, is: 3 s, coefficient: 1.9}"),
        (r"wash: \{[^}]*\}", "time: 6 s"),
    )
    return with_times(folder, changes)


def with_times(folder: Path, changes: Sequence[tuple[str, str]]) -> Path:
    """Write a copy of the shipped clear-glass file with changes, each (pattern, text); return its path.

    Each pattern is in the file.
    """
    text = (profiles_dir() / "clear-glass.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        text, count = re.subn(old, new, text)
        assert count, old
    path = folder / "short.yaml"
    path.write_text(text, encoding="utf-8")
    return path


APART = 0.9
"""Seconds between two presses: more than the 0.7 s in which they are one strike."""
UNLOCKED = 0.25
"""Seconds after any key until a key of another zone counts: 0.15 s, and the way through the terminal."""
ANSWERED = 0.15
"""Seconds in which a press is usually answered: the 60 ms of its handful, and the drawing."""
FOLLOWED = 5.0
"""Seconds after which a screen that has not followed an arrow will not."""
CHANGED = 1.2
"""Seconds to wait after the bench went on by itself: a strike in the first second is refused."""


class Photographer:
    """Works the tool by keys alone; every press waits long enough to be a strike of its own."""

    def __init__(self, home: Path, columns: int = 120, rows: int = 40, **env: str) -> None:
        self.home = home
        self.terminal = Terminal(columns, rows, env={"DARKROOM_HOME": str(home), **env})
        self.program = ARGV
        self.last = 0.0
        self.listens = 0.0

    def open(self, *words: str) -> None:
        """Start the tool and wait for its first frame."""
        self.terminal.spawn([*self.program, *words])
        shown = (": menu", "to the bench", TITLE)  # a notice may stand where "saved" does
        self.terminal.wait_for(lambda screen: any(text in screen for text in shown))
        if TITLE in self.terminal.whole_screen():
            self.go_through_sheet()

    def go_through_sheet(self) -> None:
        """Go on from the day's sheet with its lines left open."""
        self.wait(TITLE)
        self.press("end")
        self.wait("goes on")
        self.press("space")
        self.wait(lambda screen: TITLE not in screen)

    def choose_process(self, name: str) -> None:
        """Choose a process on the home form, and put its plate on the bench."""
        self.wait("to the bench")
        for _ in range(40):
            if f"‹ {name} ›" in self.terminal.whole_screen():
                break
            self.arrow("right")
        else:
            raise AssertionError(f"no process {name}:\n{self.terminal.screen()}")
        self.press("enter")

    def arrow(self, key: str) -> None:
        """Press an arrow where it moves something, and wait until the screen has followed."""
        before = self.terminal.cells()
        self.terminal.send(key)
        with suppress(TimeoutError):  # nothing moves where there is nothing more
            self.terminal.wait_until(lambda: self.terminal.cells() != before, FOLLOWED)
        time.sleep(max(0.0, self.terminal.sent + UNLOCKED - time.monotonic()))

    def press(self, key: str) -> None:
        """Press one key, a strike of its own."""
        self.press_after(b"", key)

    def press_after(self, noise: bytes, key: str) -> None:
        """Press one key, a strike of its own, with bytes before it in the same write."""
        wait = max(self.last + APART, self.terminal.sent + UNLOCKED) - time.monotonic()
        if wait > 0:
            time.sleep(wait)
        self.terminal.send(noise + KEYS.get(key, key.encode()))
        self.last = time.monotonic()

    def strike(self, then: str) -> None:
        """Strike go and wait until a plate stands before the stage `then`, and the screen has changed."""
        before = (self.terminal.whole_screen(), stages_ahead(self.home))
        self.press("space")
        self.terminal.wait_until(lambda: then in _newly(before[1], stages_ahead(self.home)))
        self.wait(lambda screen: screen != before[0])

    def strike_until(self, text: str) -> None:
        """Strike go and wait until the screen has the text."""
        before = self.terminal.whole_screen()  # of a stage that stands ready: it may have the text already
        self.press("space")
        self.wait(lambda screen: reads(text, screen) and screen != before)

    def wait(self, text: str | Callable[[str], bool], timeout: float = PATIENCE) -> None:
        """Wait until the screen has the text, or fulfils this."""
        self.terminal.wait_for(text, timeout)
        # a key that was read late is nearer to the next one than it was typed
        self.last = max(self.last, time.monotonic() - ANSWERED)

    def called(self, text: str) -> None:
        """Wait for a call, and hear it out: a strike silences its plate's call."""
        self.wait(text)
        time.sleep(self.listens)

    def called_to(self, *verbs: str) -> None:
        """Wait until the large word is one of these verbs: the hand is due; hear its call out."""
        self.called_when(lambda screen: self._large_word(screen, verbs))

    def is_called_to(self, *verbs: str) -> bool:
        """Return whether the large word is one of these verbs now."""
        return self._large_word(self.terminal.whole_screen(), verbs)

    def _large_word(self, screen: str, words: Sequence[str]) -> bool:
        columns, rows = self.terminal.columns, self.terminal.rows
        return any(large_text_is_shown(screen, word, columns, range(3, rows // 5 + 1)) for word in words)

    def called_when(self, happened: Callable[[str], bool]) -> None:
        """Wait for a call that the screen tells, and hear it out."""
        self.wait(happened)
        time.sleep(self.listens)

    def to_wash(self) -> None:
        """Take the plate that stands ready from coating to the wash."""
        self.strike("sensitise")
        self.strike("drain")
        self.called_to("LIFT")
        self.lift_to_wash()

    def lift_to_wash(self) -> None:
        """Take the plate that has been called from the bath to the wash."""
        self.strike("expose")
        self.expose_to_wash()

    def expose_to_wash(self) -> None:
        """Take the plate that drains to the wash."""
        self.strike("develop")
        self.press("space")
        self.wait("developer 2")
        time.sleep(CHANGED)
        self.press("space")
        self.called_to("FLOOD")
        self.strike("fix")
        self.strike("wash")
        self.strike_until("as long again")
        while any(stage == "fix" for stage in stages_of(self.home).values()):
            self.called_to("WASH", "RACK", "DRY")  # a plate that calls for longer is large first
            time.sleep(CHANGED)
            before = stages_of(self.home)
            self.press("space")
            with suppress(TimeoutError):  # refused: the large place had just changed; then again
                self.terminal.wait_until(lambda: stages_of(self.home) != before, 3.0)  # noqa: B023

    def rack(self, plates: int) -> None:
        """Put the plates that are washed into the rack, until so many are in it."""
        for count in range(1, plates + 1):
            while f"rack {count}" not in self.terminal.whole_screen():
                self.called_to("RACK", "DRY")
                time.sleep(
                    CHANGED
                )  # a strike in the first second after another plate became large is refused
                before = self.terminal.whole_screen()
                self.press("space")
                self.wait(lambda screen: screen != before)  # noqa: B023

    def varnish_from_rack(self) -> None:
        """Take the first plate from the rack, warm it, varnish it, and finish it."""
        self.press("escape")
        self.wait("Take a plate from the rack")
        self.press("down")
        self.press("space")
        self.wait("finish unvarnished")
        self.press("space")
        self.wait("then varnish")
        self.strike("varnish")
        self.strike("warm again")
        self.press("space")
        self.wait("It can flame")
        self.press("space")
        self.wait("This plate is done")

    def second_plate(self) -> None:
        """Two strikes, no typing: a new plate like the last."""
        self.press("escape")
        self.wait("New plate like the last")
        self.press("space")
        self.wait("then sensitise")


def stages_ahead(home: Path) -> dict[str, tuple[int, str]]:
    """Return {plate: (its last line's number, the stage after the one it stands in)} of every journal."""
    ahead = {}
    for state in _states(home):
        following = state.next_stage
        ahead[state.plate] = (state.last_n, "" if following is None else following.shown)
    return ahead


def stages_of(home: Path) -> dict[str, str]:
    """Return {plate: the stage it stands in} of every journal."""
    return {state.plate: state.stage.name for state in _states(home)}


def _states(home: Path) -> list[PlateState]:
    """Return the plates of every journal; a file that waits for its first line is no plate yet."""
    logs = [read_plate(path) for path in home.glob("plates/*/*/*.jsonl")]
    return [fold(log.events) for log in logs if log.start is not None]


def _newly(before: dict[str, tuple[int, str]], now: dict[str, tuple[int, str]]) -> set[str]:
    """Return the stages ahead of the plates whose journals have grown."""
    return {stage for plate, (n, stage) in now.items() if n > before.get(plate, (0, ""))[0]}


def journal(home: Path) -> list[list[dict[str, Any]]]:
    """Return the whole lines of every plate as JSON, by the plate's number."""
    plates = [
        [json.loads(line) for line in path.read_text(encoding="utf-8").rpartition("\n")[0].splitlines()]
        for path in home.glob("plates/*/*/*.jsonl")
    ]
    return sorted(filter(None, plates), key=lambda lines: lines[0]["number"])


def run(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run a command of the tool and return what it printed."""
    import os

    env = {**os.environ, "DARKROOM_HOME": str(home)}
    return subprocess.run([*ARGV, *words], capture_output=True, text=True, env=env, check=False)
