"""The processes that were chosen on the form, each file read once while the form is open."""

from __future__ import annotations

from darkroom.errors import DarkroomError
from darkroom.process.model import Process
from darkroom.screens.process_list import ProcessList


class ReadProcesses:
    """Reads processes by name and keeps them; of a file that is wrong it keeps None."""

    def __init__(self, processes: ProcessList) -> None:
        """Read from this list; nothing is read yet."""
        self._processes = processes
        self._read: dict[str, Process | None] = {}

    def read(self, name: str) -> Process | None:
        """Return the process of this name; None for no name, and where its file is wrong."""
        if name not in self._read:
            try:
                self._read[name] = self._processes.read(name) if name else None
            except DarkroomError:
                self._read[name] = None
        return self._read[name]

    def known(self, name: str) -> Process | None:
        """Return the process of this name when it has been read; reads nothing."""
        return self._read.get(name)
