"""Memory while counting, against an empty application.

python -m tests.measure.memory [PROGRAM ARGUMENT…]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

from tests.measure import measure as m


def size(argv: Sequence[str], strike: bool) -> tuple[float, float]:
    """Return the megabytes of a program after five seconds, and of its children."""
    with m.running(argv) as terminal:
        m.first_frame(terminal)
        time.sleep(1.0)
        if strike:
            terminal.send("space")
        time.sleep(4.0)
        pid = m.pid_of(terminal)
        return m.resident(pid), sum(m.resident(child) for child in m.children(pid))


def measure(short: bool = False, argv: Sequence[str] | None = None) -> list[m.Row]:
    """Compare the bench, one stage counting, with the empty application."""
    floor, _ = size(m.EMPTY, strike=False)
    found, others = size(argv or m.BENCH, strike=True)
    note = f"and {others:.0f} MB in processes of its own" if others else ""
    return [m.Row("memory while counting", found, floor, 1.15 * floor, "MB", note)]


if __name__ == "__main__":
    for row in measure(argv=sys.argv[1:] or None):
        print(row)
