"""Processor time while counting at 120 × 40, against one clock line at 10 Hz.

python -m tests.measure.cpu [--short] [PROGRAM ARGUMENT…]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

from tests.measure import measure as m


def share(argv: Sequence[str], seconds: float, strike: bool) -> float:
    """Return the per cent of a core that a program uses while it counts, its children included."""
    with m.running(argv) as terminal:
        m.first_frame(terminal)
        time.sleep(1.0)
        if strike:
            terminal.send("space")
            time.sleep(1.5)
        pid = m.pid_of(terminal)
        before, begun = m.cpu_seconds(pid), time.monotonic()
        time.sleep(seconds)
        return 100 * (m.cpu_seconds(pid) - before) / (time.monotonic() - begun)


def measure(short: bool = False, argv: Sequence[str] | None = None) -> list[m.Row]:
    """Compare the bench, one stage counting, with the clock line."""
    seconds = 8.0 if short else 30.0
    floor = share(m.CLOCK, seconds, strike=False)
    found = share(argv or m.BENCH, seconds, strike=True)
    return [m.Row("processor while counting", found, floor, min(floor, 3.0), "%")]


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != "--short"]
    for row in measure("--short" in sys.argv, words or None):
        print(row)
