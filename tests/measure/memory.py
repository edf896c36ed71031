"""Memory while counting, in turns with an empty application.

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
    others: list[float] = []

    def counting() -> float:
        found, of_children = size(argv or m.BENCH, strike=True)
        others.append(of_children)
        return found

    pairs = m.paired(counting, lambda: size(m.EMPTY, strike=False)[0], rounds=1 if short else 3)
    note = f"and {m.middle(others):.0f} MB in processes of its own" if m.middle(others) else ""
    return [pairs.row("memory while counting", 1.15, "MB", note)]


if __name__ == "__main__":
    for row in measure(argv=sys.argv[1:] or None):
        print(row)
