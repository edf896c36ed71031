"""How far a command is that takes longer than a second: one line on standard error, on a terminal alone."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from types import TracebackType
from typing import Self

AFTER = 1.0
"""Seconds that pass before anything is said."""
EVERY = 0.1
"""Seconds between two states of the line: a terminal far away is slow."""


class Progress:
    """One line that is written over and over, called with how many are done, and of how many.

    It is a context: the line is ended with it, however the command goes on. `clock` gives seconds.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        """Begin to count the time."""
        self._what, self._clock = "reading journals", clock
        self._next = clock() + AFTER
        self._text = ""

    def __enter__(self) -> Self:
        """Return the progress."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End the line, if there is one: what is printed next begins at the left."""
        if self._text and sys.stderr is not None:
            self._text = ""
            sys.stderr.write("\n")
            sys.stderr.flush()

    def step(self, what: str) -> Progress:
        """Say what is done from now on, on the same line; return the progress."""
        self._what = what
        return self

    def __call__(self, done: int, total: int) -> None:
        """Show how far it is, when it takes long. The last state of a line that is shown is always told."""
        if sys.stderr is None or not sys.stderr.isatty():
            return
        if self._clock() >= self._next or (done >= total and self._text):
            self._next = self._clock() + EVERY
            text = f"{self._what}: {done} of {total}"
            sys.stderr.write(f"\r{text.ljust(len(self._text))}")
            sys.stderr.flush()
            self._text = text
