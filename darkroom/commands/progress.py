"""How far a command is that takes longer than a second: one line on standard error, on a terminal alone."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

AFTER = 1.0
"""Seconds that pass before anything is said."""
EVERY = 0.1
"""Seconds between two lines: a terminal far away is slow."""


class Progress:
    """Called with how many are done, and of how many; `clock` gives seconds."""

    def __init__(self, what: str = "reading journals", clock: Callable[[], float] = time.monotonic) -> None:
        """Begin to count the time."""
        self._what, self._clock = what, clock
        self._next = clock() + AFTER
        self._shown = False

    def __call__(self, done: int, total: int) -> None:
        """Show how far it is, when it takes long; the last line ends the row."""
        if sys.stderr is None or not sys.stderr.isatty():
            return
        is_over = done >= total
        if self._clock() >= self._next or (is_over and self._shown):
            self._next, self._shown = self._clock() + EVERY, True
            sys.stderr.write(f"\r{self._what}: {done} of {total}" + ("\n" if is_over else ""))
            sys.stderr.flush()
