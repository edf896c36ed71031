"""From exec to the last byte of the first full frame, home and bench, against an empty application.

python -m tests.measure.startup [--short] [PROGRAM ARGUMENT…]
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

from tests.measure import measure as m


def once(argv: Sequence[str]) -> float:
    """Return the seconds of one start."""
    with m.running(argv) as terminal:
        return m.first_frame(terminal)


def measure(short: bool = False, argv: Sequence[str] | None = None) -> list[m.Row]:
    """Start each program in turn, several times; compare medians."""
    programs = (
        {"start to first frame": argv}
        if argv
        else {
            "start to first frame, bench": m.BENCH,
            "start to first frame, home": m.HOME,
        }
    )
    times: dict[str, list[float]] = {name: [] for name in programs}
    floor: list[float] = []
    once(m.EMPTY)
    for program in programs.values():
        once(program)  # once before, so that no program pays for a cold disk
    for _ in range(5 if short else 15):
        floor.append(once(m.EMPTY))
        for name, program in programs.items():
            times[name].append(once(program))
    base = 1000 * m.middle(floor)
    return [m.Row(name, 1000 * m.middle(found), base, 1.3 * base, "ms") for name, found in times.items()]


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != "--short"]
    for row in measure("--short" in sys.argv, words or None):
        print(row)
