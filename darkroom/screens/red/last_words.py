"""What is said on the terminal at the end of the program, by a thread: the terminal may have stalled.

Even where a terminal can take something, a write of more waits until it takes all.
"""

from __future__ import annotations

import os
import threading
import time
from collections import deque

from darkroom.screens.red.terminal import send

PATIENCE = 2.0
"""Seconds in all that are waited for a terminal that takes nothing."""


class LastWords:
    """Says lines on the terminal `fd`, in order; nobody waits for one that has stalled for too long."""

    def __init__(self, fd: int, patience: float = PATIENCE) -> None:
        """Nothing is begun before the first line."""
        self._fd, self._patience = fd, patience
        self._change = threading.Condition()
        self._waiting: deque[bytes] = deque()
        self._thread: threading.Thread | None = None

    def say(self, text: str) -> None:
        """Say a line, and wait until the terminal has it or the patience is used up."""
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
            begun = time.monotonic()
            self._change.wait_for(lambda: not self._waiting, self._patience)
            self._patience = max(0.0, self._patience - (time.monotonic() - begun))

    def _run(self) -> None:
        while True:
            with self._change:
                self._change.wait_for(lambda: bool(self._waiting))
                data = self._waiting[0]
            while data:
                try:
                    data = data[os.write(self._fd, data) :]
                except BlockingIOError:  # somebody else has set the terminal so that it does not wait
                    time.sleep(0.02)
                except OSError:  # the terminal is gone
                    data = b""
            with self._change:
                self._waiting.popleft()
                self._change.notify_all()
