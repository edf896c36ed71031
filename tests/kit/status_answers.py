"""What a terminal answers when it is asked for its status (ECMA-48 8.3.35, DSR), at once or late."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable

QUESTION, ANSWER = b"\x1b[5n", b"\x1b[0n"


class StatusAnswers:
    """Finds the questions in what a program writes; each answer is due `delay` seconds after its question."""

    def __init__(self, delay: float = 0.0, clock: Callable[[], float] = time.monotonic) -> None:
        """Begin without a question; `clock` gives seconds."""
        self._delay, self._clock = delay, clock
        self._tail = b""
        self._due: deque[tuple[float, int]] = deque()

    def read(self, data: bytes) -> None:
        """Take what was read; a question may begin in one read and end in the next."""
        seen = self._tail + data
        self._tail = seen[-len(QUESTION) + 1 :]
        if count := seen.count(QUESTION):
            self._due.append((self._clock() + self._delay, count))

    def due(self) -> bytes:
        """Return the answers that are due now, each once."""
        answers = b""
        while self._due and self._due[0][0] <= self._clock():
            answers += ANSWER * self._due.popleft()[1]
        return answers
