"""The tool at the bench, stopped by a signal and let go on; what the terminal had in the meantime."""

from __future__ import annotations

import os
import re
import signal
import sys
import termios
import threading
from collections.abc import Sequence
from pathlib import Path

from darkroom.screens.red.terminal import capabilities, closing, opening
from tests.kit import launcher
from tests.kit.photographer import ARGV, Photographer, journal, shortened

RED = capabilities({"TERM": "xterm-256color", "COLORTERM": "truecolor"})
OWN_COLOURS = closing(RED).encode()
"""What gives the terminal its colours back."""
RED_COLOURS = opening(RED).encode()
OWN_SCREEN = b"\x1b[?1049l"
MARK = "6"


class StoppedTool:
    """A plate in the silver bath, at the bench of the tool in a terminal.

    A launcher looks after the tool as a shell looks after a job; without it the tool leads its session,
    as in a window of its own.
    """

    def __init__(
        self,
        folder: Path,
        columns: int = 100,
        rows: int = 30,
        *,
        program: Sequence[str] = ARGV,
        is_looked_after: bool = True,
    ) -> None:
        """Prepare a log of its own in `folder`; `program` runs the tool."""
        self.home = folder / "home"
        self.home.mkdir(mode=0o700)
        self.hand = Photographer(self.home, columns, rows, XDG_STATE_HOME=str(folder / "state"))
        self.terminal = self.hand.terminal
        self.process = shortened(folder)
        self.is_looked_after = is_looked_after
        self.hand.program = [*program]
        if is_looked_after:  # -I: Python's switches in the environment are for the tool
            self.hand.program = [sys.executable, "-I", launcher.__file__, *program]

    def open(self) -> None:
        """Start the tool and bring a plate into the bath."""
        self.hand.open("bench", str(self.process), "--exposure", "1s")
        self.cooked = self.terminal.attributes()[3]
        self.hand.strike("sensitise")
        self.raw = self.terminal.attributes()[3]

    @property
    def pid(self) -> int:
        """Return the number of the tool's process."""
        assert self.terminal.process is not None
        first = self.terminal.process.pid
        return only_child(first) if self.is_looked_after else first

    def take_terminal(self) -> None:
        """Have another job take the terminal, without a word to the tool."""
        self.terminal.kill(launcher.TAKE)
        self.terminal.wait_until(lambda: self.terminal.front() != self.pid)

    def let_none_write_from_behind(self) -> None:
        """Have the terminal stop each job that writes while another is in front."""
        self.terminal.change_local_modes(termios.TOSTOP)

    def give_terminal(self) -> None:
        """Bring the tool to the front again; it is not told."""
        self.terminal.kill(launcher.GIVE)
        self.terminal.wait_until(lambda: self.terminal.front() == self.pid)

    def kill(self, number: int) -> None:
        """Send the process a signal."""
        os.kill(self.pid, number)

    def state(self) -> str:
        """Return the state of the process as the kernel tells it: S sleeps, T is stopped."""
        text = Path(f"/proc/{self.pid}/stat").read_text()
        return text.rpartition(")")[2].split()[0]

    def threads(self) -> list[str]:
        """Return the names of the threads, sorted."""
        tasks = Path(f"/proc/{self.pid}/task")
        return sorted((task / "comm").read_text().strip() for task in tasks.iterdir())

    def stop(self, number: int = signal.SIGTSTP, times: int = 1) -> bytes:
        """Stop the tool; return what was written until it stood still."""
        before = len(self.terminal.data)
        for _ in range(times):
            self.kill(number)
        self.terminal.wait_until(lambda: self.state() == "T")
        self.terminal.settle(0.2, 2.0)
        return self.terminal.data[before:]

    def go_on(self, times: int = 1) -> bytes:
        """Let it go on, wait until it stands still again; return what was written first."""
        before = len(self.terminal.data)
        for _ in range(times):
            self.kill(signal.SIGCONT)
        self.terminal.wait_until(lambda: b"\x1b[?2004h" in self.terminal.data[before:])
        self.terminal.wait_until(lambda: self.state() != "T")
        self.hand.wait("back")  # of the line of keys
        return self.terminal.data[before:]

    def is_cooked(self) -> bool:
        """Return whether the terminal echoes and makes signals of keys, as the shell left it."""
        wanted = termios.ECHO | termios.ICANON | termios.ISIG
        return bool(self.terminal.attributes()[3] & wanted == wanted)

    def is_raw(self) -> bool:
        """Return whether every key comes to the tool at once and unseen."""
        return not self.terminal.attributes()[3] & (termios.ECHO | termios.ICANON | termios.ISIG)

    def marks(self) -> int:
        """Return how many marks the journal has."""
        return sum(line["event"] == "mark" for line in journal(self.home)[0])

    def mark(self, noise: bytes = b"") -> bool:
        """Press mark, after `noise` in the same write; return whether exactly one more is saved."""
        before = self.marks()
        self.hand.press_after(noise, MARK)
        try:
            self.terminal.wait_until(lambda: self.marks() > before)
        except TimeoutError:
            return False
        threading.Event().wait(0.1)
        return self.marks() == before + 1

    def stalls(self) -> list[float]:
        """Return the seconds of each stall and sleep in the journal."""
        return [
            line["seconds"]
            for line in journal(self.home)[0]
            if line["event"] == "clock" and line["kind"] in ("stalled", "slept")
        ]

    def is_whole(self) -> bool:
        """Return whether the screen is what painting every cell shows: the size changes and comes back.

        A sentence may change between the two looks, so there are a few.
        """
        return any(self._looks_the_same_painted() for _ in range(4))

    def _looks_the_same_painted(self) -> bool:
        columns, rows = self.terminal.columns, self.terminal.rows
        before = self.still_rows()
        self.resize(columns - 1, rows)
        self.resize(columns, rows)
        return "".join(before).strip() != "" and self.still_rows() == before

    def tell_size(self, columns: int, rows: int) -> None:
        """Have the kernel tell the tool a size; the terminal stays as it is."""
        self.terminal._size(columns, rows)

    def still_rows(self) -> list[str]:
        """Return the rows in which nothing counts."""
        return _still(self.terminal.whole_screen())

    def resize(self, columns: int, rows: int) -> None:
        """Change the terminal's size and wait until the tool has drawn for it."""
        drawn = len(self.terminal.data)
        self.terminal.resize(columns, rows)
        self.terminal.wait_until(lambda: len(self.terminal.data) > drawn + 20)
        self.terminal.settle(0.1, 2.0)


def _still(screen: str) -> list[str]:
    """Return the rows of a bench in which nothing counts: above the large numbers, and the last ones."""
    rows = screen.splitlines()
    return [re.sub(r"[\d:.]+", "", row) for row in (*rows[:3], *rows[-3:])]


def only_child(pid: int) -> int:
    """Return the number of a process's first child; raises FileNotFoundError when it has none."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    if not children:
        raise FileNotFoundError(f"process {pid} has no child")
    return int(children[0])
