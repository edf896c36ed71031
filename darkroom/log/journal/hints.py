"""The hints of what was written (`store.changes`), gathered while one line follows the other.

A hint takes as long as a line, so it is given when the writer rests: what is written meanwhile to the same
file needs no further one.
"""

from __future__ import annotations

import math
import time
from pathlib import Path

from darkroom.log.store import changes

REST = 0.02
"""The hints are given when nothing was saved for so long, in seconds."""
LATEST = 0.5
"""They wait no longer than this, in seconds: a reader looks every few seconds."""


class Hints:
    """The journals that were written to and of which no hint was given yet; for the writer's thread alone."""

    def __init__(self, home: Path) -> None:
        """`home` is the folder of the log."""
        self.home = home
        self._paths: dict[Path, None] = {}
        self._latest = math.inf
        self.due = math.inf

    def add(self, journal: Path) -> None:
        """Note that a journal was written to now; give the hints when the first has waited its longest."""
        now = time.monotonic()
        if not self._paths:
            self._latest = now + LATEST
        self._paths[journal] = None
        self.due = min(now + REST, self._latest)
        if now >= self._latest:
            self.give()

    def are_due(self, closing: bool) -> bool:
        """Return whether they are to be given now: with `closing` all that there are."""
        return bool(self._paths) and (closing or time.monotonic() >= self.due)

    def give(self) -> None:
        """Give every hint."""
        paths, self._paths, self.due = self._paths, {}, math.inf
        for path in paths:
            changes.add(self.home, path)
