"""How far a terminal is behind: what was painted and has not been confirmed, so that no stale time is shown.

A line of 9,600 baud takes a second for a thousand characters, and a pseudo-terminal or a network connection
keeps twenty thousand and more on the way: whoever paints on as fast as it may is seen twenty seconds
late. So after some hundred characters the terminal is asked for its status (DSR 5, ECMA-48 8.3.35), which
it answers when it has taken everything before the question. While too much is unconfirmed nothing is painted;
what changed meanwhile is painted once, as it is then. A terminal that never answers is painted as it comes,
and is not asked after each stop again: whoever stops the program would wait for that answer each time.
"""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable

QUESTION = "\x1b[5n"
ANSWER = "\x1b[0n"
"""The terminal is ready (ECMA-48 8.3.35, DSR 0)."""
ASK_EVERY = 500
"""Characters painted between two questions."""
MOST_AHEAD = 2_000
"""Unconfirmed characters from which on nothing is painted: two seconds at 9,600 baud, more than a counting
bench paints while an answer comes back over half a second of network."""
PATIENCE = 20.0
"""Seconds after which an answer is awaited no more: the largest frame takes so long at 9,600 baud."""
ROUND_TRIP = 1.0
"""Seconds that a question and its answer may take over a network, beside what is on the way before them."""
SLOW_LINE = 960
"""Characters a second at 9,600 baud."""


class LinePace:
    """Counts what is painted and what is confirmed; `freed` is called when there is room again.

    `painted` belongs to the thread that paints, `answered` to the one that reads, which also calls `freed`.
    """

    def __init__(self, freed: Callable[[], None], clock: Callable[[], float] = time.monotonic) -> None:
        """Begin with a terminal of which it is not known whether it answers; `clock` gives seconds."""
        self._freed, self._clock = freed, clock
        self._lock = threading.Lock()
        self._answers = self._has_answered = False
        self._first_due: float | None = None
        self._painted = self._confirmed = 0
        self._asked: deque[tuple[int, float]] = deque()

    def painted(self, characters: int) -> bool:
        """Count a frame; return whether the terminal is to be asked now, after it."""
        with self._lock:
            self._painted += characters
            if self._is_late():
                self._forget()
            last = self._asked[-1][0] if self._asked else self._confirmed
            if self._painted - last < ASK_EVERY:
                return False
            if not self._answers and (self._asked or self._is_mute()):
                return False  # it owes the first answer: it may have none, and is not asked for ever
            self._asked.append((self._painted, self._clock()))
            if self._first_due is None:
                self._first_due = self._clock() + self._seconds_to_answer()
            return True

    def answered(self) -> None:
        """Take an answer: all before its question has been taken by the terminal."""
        with self._lock:
            if not self._asked:
                self._first_due = None  # it can answer, only later than it was waited for
                return  # noise: nobody asked, or awaits it any more
            was_full = self._is_full()
            self._answers = self._has_answered = True
            self._confirmed = self._asked.popleft()[0]
            freed = was_full and not self._is_full()
        if freed:
            self._freed()

    @property
    def is_full(self) -> bool:
        """True while nothing should be painted."""
        with self._lock:
            return self._is_full()

    @property
    def owes(self) -> bool:
        """True while an answer may still come."""
        with self._lock:
            return bool(self._asked) and not self._is_late()

    def answer_within(self) -> float:
        """Return in how many seconds the last answer is to be expected over a slow line; 0 when none is.

        What was painted after the last question holds no answer up.
        Of a terminal that has answered they count from now. One that may never answer was to do it so many
        seconds after it was asked: nobody who leaves later waits for it.
        """
        with self._lock:
            if not self._asked:
                return 0.0
            if not self._has_answered and self._first_due is not None:
                return max(0.0, self._first_due - self._clock())
            waited = 0.0 if self._answers else self._clock() - self._asked[0][1]
            return max(0.0, self._seconds_to_answer() - waited)

    def forget(self) -> None:
        """Begin anew: the terminal was, or may have been, another's, and its answers too."""
        with self._lock:
            self._forget()

    def _seconds_to_answer(self) -> float:
        """Return how long the last answer takes over a slow line, from the question on."""
        return ROUND_TRIP + (self._asked[-1][0] - self._confirmed) / SLOW_LINE

    def _is_mute(self) -> bool:
        """Return whether the first answer of all was due and has not come."""
        return not self._has_answered and self._first_due is not None and self._clock() >= self._first_due

    def _forget(self) -> None:
        self._asked.clear()
        self._confirmed = self._painted
        self._answers = False

    def _is_full(self) -> bool:
        return self._answers and self._painted - self._confirmed >= MOST_AHEAD and not self._is_late()

    def _is_late(self) -> bool:
        return bool(self._asked) and self._clock() - self._asked[0][1] > PATIENCE
