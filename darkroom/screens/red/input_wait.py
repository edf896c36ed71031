"""Waiting for the terminal's input without looking up in between: an idle tool's input thread sleeps."""

from __future__ import annotations

import os
import selectors
import threading
from contextlib import suppress

DECIDED_AFTER = 0.1
"""Seconds between two looks while a lone escape or an unfinished sequence waits for what time decides."""


class Bell(threading.Event):
    """An event that ends a wait for input when it is set; a plain one is noticed only by looking."""

    def __init__(self) -> None:
        """It is not set."""
        super().__init__()
        self._heard, self._rung = os.pipe()
        os.set_blocking(self._heard, False)
        os.set_blocking(self._rung, False)

    def fileno(self) -> int:
        """Return what can be read while it is set."""
        return self._heard

    def set(self) -> None:
        """Set it, and end the wait."""
        super().set()
        with suppress(OSError):  # full: it rings already; closed: nobody waits any more
            os.write(self._rung, b"!")

    def clear(self) -> None:
        """Let the next wait go on until it is set again."""
        super().clear()
        with suppress(OSError):  # empty, or closed
            while os.read(self._heard, 4096):
                pass

    def close(self) -> None:
        """Close what it rings through; nobody waits for it from now on. A second time nothing is done."""
        heard, rung, self._heard, self._rung = self._heard, self._rung, -1, -1
        for fd in (heard, rung):
            if fd >= 0:
                os.close(fd)


class InputWait:
    """The wait of the input thread for the terminal, or for the bell that ends it."""

    def __init__(self, fd: int, bell: Bell) -> None:
        """Wait for something to read from `fd`."""
        self._fd = fd
        self._selector = selectors.SelectSelector()
        self._selector.register(fd, selectors.EVENT_READ)
        self._selector.register(bell, selectors.EVENT_READ)

    def __enter__(self) -> InputWait:
        """Use it."""
        return self

    def __exit__(self, *_: object) -> None:
        """Wait no more."""
        self._selector.close()

    def is_readable(self, awaits_time: bool) -> bool:
        """Wait, and return whether the terminal has something to read, which may be its end.

        False when the bell was rung, and after `DECIDED_AFTER` seconds where the parser awaits what time
        decides; without that the wait has no end of its own.
        """
        ready = self._selector.select(DECIDED_AFTER if awaits_time else None)
        return any(key.fd == self._fd for key, _ in ready)
