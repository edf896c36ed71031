"""Plates finished one after the other at the bench by keys alone, and what the tool's processes hold."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.kit.day import TITLE
from tests.kit.journals import by_hand
from tests.kit.letters import reads
from tests.kit.menu import move_to
from tests.kit.photographer import Photographer

THREE_STEPS = """\
name: Three steps
sensitive: never
stages:
  - {name: pour, light: white, ends: by_eye, expect: [1 s, 1 min]}
  - {name: wash, light: white, ends: on_time, time: 1 s, patience: 1 min}
  - {name: dry, light: white, ends: by_eye, expect: [1 s, 1 min]}
"""
ONE_STEP = """\
name: One step
sensitive: never
stages:
  - {name: pour, light: white, ends: by_eye, expect: [1 s, 1 min]}
"""
DONE = "This plate is done"
LIKE_THE_LAST = "New plate like the last"
STRIKES = 12
"""Strikes that a plate may take at most."""


@dataclass(frozen=True)
class Size:
    """What a process holds: its own memory in megabytes, its threads, its open files."""

    memory: float
    threads: int
    files: int


class PlatesInARow:
    """The tool in a terminal, with a process of few and short stages."""

    def __init__(self, folder: Path, steps: str, **env: str) -> None:
        """Prepare a log of its own in `folder`."""
        self.process = folder / "steps.yaml"
        self.process.write_text(steps, encoding="utf-8")
        self.hand = Photographer(folder / "home", XDG_STATE_HOME=str(folder / "state"), **env)

    def open(self) -> None:
        """Start the tool with the first plate."""
        self.hand.open("bench", str(self.process))

    def finish(self) -> bool:
        """Strike until the journal has the plate's end, and then read that it is done; return whether it has.

        The screen alone could be read before it is drawn; one strike more has a sentence of its own there.
        """
        for _ in range(STRIKES):
            before = self._lines()
            self.hand.press("space")
            with suppress(TimeoutError):  # a strike that came too early has no line
                self.hand.terminal.wait_until(lambda: len(self._lines()) > len(before), 1.5)  # noqa: B023
            if any(line["event"] == "plate_ended" for line in self._lines()):
                self.hand.wait(DONE)
                return True
        return False

    def next_plate(self) -> None:
        """Put on a plate like the last, from the menu's first row; on a new day the sheet comes first."""
        self.hand.press("escape")
        self.hand.wait(LIKE_THE_LAST)
        self.hand.press("space")
        self.hand.wait(lambda screen: not reads(DONE, screen) and LIKE_THE_LAST not in screen)
        if TITLE in self.hand.terminal.whole_screen():
            self.hand.go_through_sheet()

    def judge_newest(self) -> None:
        """Open the log from the empty bench, judge the newest plate, and go back to the bench."""
        hand = self.hand
        hand.press("escape")
        hand.wait(LIKE_THE_LAST)
        move_to("The log", [hand.terminal])
        hand.press("space")
        hand.wait(lambda screen: "newest first" in screen and "step" in screen and "reading" not in screen)
        hand.press("enter")
        hand.wait("j judge")
        hand.press("j")
        hand.wait("JUDGE PLATE")
        hand.press("4")
        hand.wait("4 of 5")
        hand.press("enter")
        hand.wait(lambda screen: "JUDGE PLATE" not in screen and "4 of 5 stars" in screen)
        hand.press("escape")
        hand.wait("newest first")
        hand.press("escape")
        hand.wait("to the bench")
        hand.press("escape")
        hand.wait(LIKE_THE_LAST)  # the bench, with its menu
        hand.press("escape")
        hand.wait(lambda screen: LIKE_THE_LAST not in screen)

    def _lines(self) -> list[dict[str, Any]]:
        """Return the whole lines of the youngest plate's journal; one that is just made has none."""
        youngest = max(self.hand.home.glob("plates/*/*/*.jsonl"), default=None)
        data = b"" if youngest is None else youngest.read_bytes()
        return by_hand(data[: data.rfind(b"\n") + 1]) if b"\n" in data else []

    def sizes(self) -> dict[str, Size]:
        """Return {program: what it holds} of the tool and of what it started, the player among them."""
        assert self.hand.terminal.process is not None
        own = self.hand.terminal.process.pid
        children = [
            child for thread in Path(f"/proc/{own}/task").iterdir() for child in _children(thread)
        ]  # whichever thread started it
        return {"tool": _size(own)} | {_program(int(child)): _size(int(child)) for child in children}


def _children(thread: Path) -> list[str]:
    with suppress(FileNotFoundError):  # a thread that has just ended has none
        return (thread / "children").read_text().split()
    return []


def _program(pid: int) -> str:
    """Return the last part of the module that a process runs, else its own name."""
    words = Path(f"/proc/{pid}/cmdline").read_bytes().decode(errors="replace").split("\0")
    module = words[words.index("-m") + 1] if "-m" in words else words[0]
    return module.rpartition(".")[2]


def _size(pid: int) -> Size:
    own = Path(f"/proc/{pid}")
    found = re.search(r"RssAnon:\s+(\d+) kB", (own / "status").read_text())
    assert found is not None
    return Size(int(found[1]) / 1024, len(os.listdir(own / "task")), len(os.listdir(own / "fd")))
