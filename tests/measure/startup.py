"""From exec to the last byte of the first full frame, home and bench, against an empty application.

Wall clock, and the processor time until then, children (the player) included; in turns with the floor.

python -m tests.measure.startup [--short] [PROGRAM ARGUMENT…]
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence

from tests.measure import measure as m

AIMS = {"home": 1.15, "bench": 1.25}
AFTER_IT = "the sound player begins 0.25 s after the frame, at once where there is something to be heard"


def once(argv: Sequence[str]) -> tuple[float, float]:
    """Return the seconds of one start, and the processor seconds used until its frame stood."""
    with m.running(argv) as terminal:
        wall = m.first_frame(terminal)
        return wall, m.cpu_seconds(m.pid_of(terminal))


def measure(short: bool = False, argv: Sequence[str] | None = None) -> list[m.Row]:
    """Start each program in turns with an empty application."""
    m.compile_both_sides()
    programs = {"this program": argv} if argv else {"home": m.HOME, "bench": m.BENCH}
    rows = []
    for name, program in programs.items():
        found: dict[str, list[tuple[float, float]]] = {"value": [], "floor": []}
        walls = m.paired(
            kept(found["value"], program), kept(found["floor"], m.EMPTY), rounds=5 if short else 15
        )
        aim = AIMS.get(name, 1.15)
        rows.append(walls.row(f"start to first frame, {name}: wall clock", aim, "ms", scale=1000))
        note = "" if argv else AFTER_IT
        ratios = [value[1] / floor[1] for value, floor in zip(found["value"], found["floor"], strict=True)][
            1:
        ]
        base = m.middle([floor[1] for floor in found["floor"]][1:])
        cpu = m.Pairs(
            m.middle([value[1] for value in found["value"]][1:]), base, m.middle(ratios), m.spread(ratios)
        )
        rows.append(cpu.row(f"start to first frame, {name}: processor", aim, "ms", note, scale=1000))
    return rows


def kept(into: list[tuple[float, float]], argv: Sequence[str]) -> Callable[[], float]:
    """Return what starts the program, keeps both figures and returns the wall clock's."""

    def work() -> float:
        into.append(once(argv))
        return into[-1][0]

    return work


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != "--short"]
    for row in measure("--short" in sys.argv, words or None):
        print(row)
