"""A plate at the bench whose disk fails, a signal that ends the tool, and what came of the presses."""

from __future__ import annotations

import json
import signal
import threading
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from darkroom.bench import events as ev
from darkroom.log.journal.merge import PlateLog, merge
from darkroom.log.journal.read import read_file
from tests.kit.failing_disk import FailingDisk
from tests.kit.photographer import Photographer, shortened
from tests.kit.plates_in_a_row import LIKE_THE_LAST
from tests.kit.terminal import PATIENCE

MARKS = 4
"""Presses whose lines wait when the signal comes."""
MEMORY = Path("/dev/shm")
"""The file system in memory: every program of the machine has the same one."""


@dataclass(frozen=True)
class Left:
    """How the tool left: its exit status, the seconds it took, what then stood on the terminal."""

    status: int
    seconds: float
    screen: str


class Leaving:
    """A log of its own in `folder`, and a plate of it at the bench."""

    def __init__(self, folder: Path, columns: int = 100, rows: int = 24) -> None:
        """Make the folders: the log, the user's state, what is temporary."""
        self.home, self.state, self.temporary = (folder / name for name in ("home", "state", "tmp"))
        for place in (self.home, self.state, self.temporary):
            place.mkdir(mode=0o700)
        self.folder, self.size = folder, (columns, rows)
        self.env = {"XDG_STATE_HOME": str(self.state), "TMPDIR": str(self.temporary)}

    def _hand(self, env: Mapping[str, str]) -> Photographer:
        return Photographer(self.home, *self.size, **self.env, **env)

    def leave(
        self,
        disk: FailingDisk,
        *numbers: signal.Signals,
        answers_after: float | None = None,
        stalled: bool = False,
    ) -> Left:
        """Press while the disk fails, send the signals a tenth of a second apart; return how it left.

        The disk answers again `answers_after` seconds later; with `stalled` the terminal takes nothing.
        """
        hand = self._hand(disk.env)
        with hand.terminal as terminal:
            hand.open("bench", str(shortened(self.folder)))
            hand.strike("sensitise")
            disk.fail()
            for _ in range(MARKS):
                hand.press("6")
            hand.press("escape")  # when the menu is there, each press before it was taken
            hand.wait(LIKE_THE_LAST)
            hand.press("escape")
            hand.wait(lambda screen: LIKE_THE_LAST not in screen)
            if stalled:
                terminal.stop_reading()
            start = time.monotonic()
            for number in numbers:
                terminal.kill(number)
                time.sleep(0.1)
            if answers_after is not None:
                threading.Timer(answers_after, disk.answer).start()
            assert terminal.process is not None
            status = terminal.process.wait(PATIENCE)
            seconds = time.monotonic() - start
            terminal.go_on_reading()
            terminal.read_rest()
            return Left(status, seconds, terminal.screen())

    def saved_marks(self, *places: Path) -> int:
        """Return how many marks the files of the plate below these folders have together."""
        return sum(isinstance(event, ev.Mark) for event in self._log(places or (self.home,)).events)

    def marks_that_come_back(self) -> int:
        """Open the tool again with a disk that works; return the marks of the plate that came back."""
        hand = self._hand({})
        with hand.terminal as terminal:
            hand.open()
            terminal.wait_until(
                lambda: any(isinstance(event, ev.Resumed) for event in self._log((self.home,)).events)
            )
        return self.saved_marks()

    def clear_memory(self) -> None:
        """Take away what this log left in memory; what other logs left there stays."""
        own = f'"home":{json.dumps(str(self.home))}'.encode()
        for path in MEMORY.rglob("*.jsonl"):
            with suppress(FileNotFoundError):  # another test's, taken away at this moment
                if own in path.read_bytes():
                    path.unlink()

    def _log(self, places: Sequence[Path]) -> PlateLog:
        files = sorted(path for place in places for path in place.rglob("????????-??????-??????*.jsonl"))
        return merge(files[0].name.partition(".")[0], [read_file(path) for path in files])
