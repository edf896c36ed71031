"""Programs that keep a machine awake, in a test's own folder: they write what they are asked for."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

INHIBIT = """#!/bin/sh
# Takes no lock: writes what it was asked for and its process id, then runs what follows the options.
echo "$@" >> {folder}/asked
if [ "$1" = "$(cat {folder}/refuse 2>/dev/null)" ]; then echo "Access denied" >&2; exit 1; fi
while [ "${{1#--}}" != "$1" ]; do shift; done
echo $$ >> {folder}/pids
sh -c 'echo $$ >> {folder}/pids; exec "$@"' child "$@"
"""
CAFFEINATE = """#!/bin/sh
# Ends with the process that it is told to watch.
echo "$@" >> {folder}/asked
[ "$3" = -w ] || exec "$3"
echo $$ >> {folder}/pids
while kill -0 "$4" 2>/dev/null; do sleep 0.05; done
"""


def until(condition: Callable[[], bool], seconds: float = 20.0) -> None:
    """Wait until something is so; fail when it takes too long."""
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "it did not happen"
        time.sleep(0.01)


def runs(pid: int) -> bool:
    """Tell whether a process is there and is more than an entry in the table."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    except OSError:
        return False


class KeepsAwake:
    """A folder on the PATH with programs of a test's own, and what they wrote."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = f"{folder}{os.pathsep}{os.environ['PATH']}"
        """The PATH with the folder first."""

    def put(self, name: str, text: str) -> None:
        """Write a program."""
        path = self.folder / name
        path.write_text(text.format(folder=self.folder))
        path.chmod(0o755)

    def asked(self) -> list[str]:
        """Return the arguments of each call so far."""
        path = self.folder / "asked"
        return path.read_text().splitlines() if path.exists() else []

    def pids(self) -> list[int]:
        """Return the processes that hold, or held."""
        path = self.folder / "pids"
        return [int(line) for line in path.read_text().split()] if path.exists() else []
