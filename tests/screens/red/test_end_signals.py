"""The bound on the end of the program after a signal."""

from __future__ import annotations

import os
import signal
import threading
from queue import Queue

import pytest

from darkroom.screens.red import end_signals
from darkroom.screens.red.end_signals import EndSignals


def test_saving_that_does_not_end_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no application leaves and what is said at the end takes for ever, the process ends."""
    statuses: Queue[int] = Queue()
    monkeypatch.setattr(os, "_exit", statuses.put)
    monkeypatch.setattr(end_signals, "END_WITHIN", 0.05)
    taken: dict[int, object] = {}
    monkeypatch.setattr(signal, "signal", taken.setdefault)
    goes_on = threading.Event()
    signals = EndSignals()

    def save() -> int:
        goes_on.wait(60)
        return 1

    signals.save = save
    signals.watch()
    on_term = taken[signal.SIGTERM]
    assert callable(on_term)
    on_term(signal.SIGTERM, None)
    try:
        assert statuses.get(timeout=20) == 128 + signal.SIGTERM
    finally:  # before the process can be ended in earnest
        goes_on.set()
        last = statuses.get(timeout=20)
    assert last == 1
