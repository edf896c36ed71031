"""The tool as a job of an interactive shell in a terminal: in the background and in the front."""

from __future__ import annotations

import shlex
import signal
from contextlib import suppress
from pathlib import Path

from tests.kit.stopped_tool import StoppedTool, only_child

PROMPT = "shell> "
SHELL = ("/bin/bash", "--norc", "--noprofile", "-i")


class ShellJob(StoppedTool):
    """A shell; its first job is the tool."""

    def __init__(self, folder: Path) -> None:
        """Prepare a log of its own in `folder`."""
        super().__init__(folder, is_looked_after=False)  # the shell does it

    def open(self) -> None:
        """Start the shell alone."""
        self.terminal.env |= {"PS1": PROMPT, "HISTFILE": "/dev/null"}
        self.terminal.spawn(SHELL)
        self.terminal.wait_for(PROMPT)

    @property
    def pid(self) -> int:
        """Return the number of the process; raises FileNotFoundError when the job has ended."""
        return only_child(super().pid)

    def has_ended(self) -> bool:
        """Return whether the shell has no job."""
        try:
            return self.state() == "Z"
        except FileNotFoundError:
            return True

    def type(self, line: str) -> bytes:
        """Type a line in the shell; return what was written until its next prompt."""
        before = len(self.terminal.data)
        self.terminal.send(f"{line}\r".encode())
        self.terminal.wait_until(lambda: PROMPT.encode() in self.terminal.data[before:])
        self.terminal.settle(0.2, 2.0)
        return self.terminal.data[before:]

    def start_behind(self) -> bytes:
        """Start the tool in the background; return what was written until it stood still."""
        before = len(self.terminal.data)
        self.type(f"{self._command()} &")
        self.wait_until_stopped()
        return self.terminal.data[before:]

    def start_behind_alone(self, shown: str) -> bytes:
        """Start the tool behind a shell that ends at once; return what was written until the text stands."""
        before = len(self.terminal.data)
        self.terminal.send(f"({self._command()} </dev/tty &)\r".encode())
        self.terminal.wait_until(lambda: shown.encode() in self.terminal.data[before:])
        return self.terminal.data[before:]

    def _command(self) -> str:
        return shlex.join([*self.hand.program, "bench", str(self.process), "--exposure", "1s"])

    def wait_until_stopped(self) -> None:
        """Wait until the job is stopped, and stays so."""
        self.terminal.wait_until(lambda: self.state() == "T")
        self.terminal.settle(0.3, 2.0)
        self.terminal.wait_until(lambda: self.state() == "T")

    def to_front(self, shown: str) -> bytes:
        """Bring the job to the front and wait until the screen has the text; return what was written."""
        before = len(self.terminal.data)
        self.terminal.send(b"fg\r")
        self.hand.wait(shown)
        return self.terminal.data[before:]

    def to_bath(self) -> None:
        """Take the plate into the silver bath, from the sheet of the day on."""
        self.hand.go_through_sheet()
        self.hand.strike("sensitise")

    def end(self) -> None:
        """End the job, whatever it does."""
        with suppress(OSError):
            self.kill(signal.SIGKILL)
