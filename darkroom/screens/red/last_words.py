"""What is said on the terminal at the end of the program, by a thread: the terminal may have stalled.

A write that waits for room in a pseudo-terminal learns of it late: read at 1,920 bytes a second, Linux 6.18
let it wait 8 to 10 s and then took 15 to 19 kB at once (measured). A write that does not wait sees each
kilobyte. The terminal is opened once more for such writes: every program that has the same file, also the
shell, would have them too.
"""

from __future__ import annotations

import os
import sys
import threading
import time
from collections import deque
from functools import partial

from darkroom.screens.red.terminal import send

PATIENCE = 2.0
"""Seconds that are waited for a terminal that takes nothing; they begin anew with all that it takes."""
PIECE = 512
"""Bytes that are written at once at most."""
ASK_AGAIN = 0.02
"""Seconds until a full terminal is asked again."""


class LastWords:
    """Says lines on the terminal `fd`, in order; nobody waits for one that has stalled for too long.

    `taken` is the number of bytes that the terminal has taken.
    """

    def __init__(self, fd: int, patience: float = PATIENCE) -> None:
        """Nothing is begun before the first line."""
        self.taken = 0
        self._fd, self._patience, self._left = fd, patience, patience
        self._change = threading.Condition()
        self._waiting: deque[bytes] = deque()
        self._thread: threading.Thread | None = None

    def say(self, text: str) -> None:
        """Say a line, and wait until the terminal has it, or has taken nothing for the whole patience.

        After that nobody waits until the terminal takes something.
        """
        with self._change:
            self._waiting.append(text.encode("utf-8", "replace") + b"\n")
            if self._thread is None:
                thread = threading.Thread(target=self._run, name="last words", daemon=True)
                try:
                    thread.start()
                except RuntimeError:  # no thread can be started any more
                    send(self._fd, self._waiting.pop().decode())
                    return
                self._thread = thread
            self._change.notify_all()
            while self._waiting and self._left:
                if not self._change.wait_for(partial(self._has_moved, self.taken), self._left):
                    self._left = 0.0

    def _has_moved(self, before: int) -> bool:
        """Return whether the terminal has taken more than `before` bytes, or nothing waits."""
        return self.taken != before or not self._waiting

    def _run(self) -> None:
        fd = _without_waiting(self._fd)
        while True:
            with self._change:
                self._change.wait_for(lambda: bool(self._waiting))
                data = self._waiting[0]
            while data:
                try:
                    count = os.write(fd, data[:PIECE])
                except BlockingIOError:
                    time.sleep(ASK_AGAIN)
                except OSError:  # the terminal is gone
                    data = b""
                else:
                    data = data[count:]
                    self._have_taken(count)
            with self._change:
                self._waiting.popleft()
                self._change.notify_all()

    def _have_taken(self, count: int) -> None:
        with self._change:
            self.taken += count
            self._left = self._patience
            self._change.notify_all()


def _without_waiting(fd: int) -> int:
    """Return a file on the same terminal whose writes do not wait; `fd` itself where there is none."""
    if sys.platform == "win32":
        return fd
    try:
        return os.open(os.ttyname(fd), os.O_WRONLY | os.O_NOCTTY | os.O_NONBLOCK | os.O_CLOEXEC)
    except OSError:  # no terminal, or another user's
        return fd
