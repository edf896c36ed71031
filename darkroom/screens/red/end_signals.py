"""The signals that end a program: it leaves in order, or is ended after a while; it saves first."""

from __future__ import annotations

import contextlib
import os
import signal
import threading
from collections.abc import Callable, Iterator
from types import FrameType
from typing import Any

LEAVE_WITHIN = 4.0
"""Seconds that an application gets to leave in order after a signal: half of them for the last answer of its
terminal, which comes seconds late over a slow network, and which a shell would take for typed keys."""
END_WITHIN = 12.0
"""Seconds after its leaving, or after it was given up, until the process is ended, whatever still hangs: what
waits is saved in less, and a slow terminal has the rest for what is said."""
SIGNALS = ("SIGTERM", "SIGHUP", "SIGINT", "SIGQUIT")
STRAY = ("SIGUSR1", "SIGUSR2", "SIGALRM", "SIGVTALRM", "SIGPROF", "SIGIO", "SIGPWR", "SIGXCPU", "SIGSTKFLT")
"""Signals that nobody has a reason to send to this program, and that would end it without a word."""


def stray_signals() -> list[int]:
    """Return the numbers of the signals that are dropped: `STRAY`, and those of real time."""
    first, last = getattr(signal, "SIGRTMIN", 1), getattr(signal, "SIGRTMAX", 0)
    named = [getattr(signal, name) for name in STRAY if hasattr(signal, name)]
    return [*named, *range(first, last + 1)]


def _nothing() -> None:
    """Do nothing."""


class EndSignals:
    """Watches for the signals that end the program, from `watch` to `forget`.

    The first one calls what `leave_with` was given; further ones change nothing: the program is leaving,
    and a closed window sends two. Where no application runs, or it has not left `LEAVE_WITHIN` seconds
    later, another thread calls `give_back` and `save` and ends the process: with the status that `save`
    returns, or 128 + the signal's number when that is None, or they take longer than `END_WITHIN` seconds.
    """

    def __init__(self) -> None:
        """Nothing is watched yet."""
        self.give_back: Callable[[], None] = _nothing
        self.save: Callable[[], int | None] = _nothing
        self.number: int | None = None
        self._leave: Callable[[int], None] | None = None
        self._left = threading.Event()
        self._before: dict[int, Any] = {}

    def watch(self) -> None:
        """Take the signals, stray ones to drop them; outside the main thread nothing is done."""
        if threading.current_thread() is not threading.main_thread():
            return
        for name in SIGNALS:
            number = getattr(signal, name, None)
            if number is not None:
                self._before[number] = signal.signal(number, self._on_signal)
        for number in stray_signals():  # a function, not SIG_IGN: what is started inherits the latter
            self._before[number] = signal.signal(number, lambda number, frame: None)

    @contextlib.contextmanager
    def watched(self) -> Iterator[None]:
        """Take the signals while the block runs."""
        self.watch()
        try:
            yield
        finally:
            self.forget()

    def forget(self) -> None:
        """Give the signals back to whom they were."""
        for number, before in self._before.items():
            signal.signal(number, before if before is not None else signal.SIG_DFL)
        self._before.clear()

    def leave_with(self, leave: Callable[[int], None] | None) -> None:
        """Set what the first signal calls with its number, so that the application leaves in order."""
        self._leave = leave

    def left(self) -> None:
        """Say that the application has left and the terminal is given back."""
        self._left.set()

    def _on_signal(self, number: int, frame: FrameType | None) -> None:
        if self.number is not None:
            return
        self.number = number
        leave = self._leave
        patience = LEAVE_WITHIN if leave is not None else 0.0
        threading.Thread(target=self._end, args=(patience,), name="end", daemon=True).start()
        if leave is not None:
            leave(number)

    def _end(self, patience: float) -> None:
        """End the process when it does not end by itself."""
        assert self.number is not None
        if self._left.wait(patience):
            self._left.clear()
            self._left.wait(END_WITHIN)
            os._exit(128 + self.number)
        bound = threading.Timer(END_WITHIN, os._exit, (128 + self.number,))
        bound.daemon = True
        with contextlib.suppress(RuntimeError):  # no thread can be started any more: it is saved all the same
            bound.start()
        status = None
        with contextlib.suppress(Exception):  # whatever it is, the process ends
            self.give_back()
            status = self.save()
        os._exit(128 + self.number if status is None else status)
