"""How processes that help with the catalogue are started: an interrupt is for the command alone."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def interrupts_blocked() -> Iterator[None]:
    """Hold back SIGINT from this thread in the block; one that comes meanwhile is raised at its end.

    Ctrl-c goes to every process of a terminal's job. A process that is started in the block has the signal
    blocked from its first instruction: Python would end it with a trace while it still imports. Where
    signals cannot be blocked (Windows) nothing is held back.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
