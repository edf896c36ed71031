"""Every measurement as one table: `python -m tests.measure.run [--short] [NAME…]`.

Ratios are to a floor measured in the same run. Exit status 1 when one is above twice its aim.
"""

from __future__ import annotations

import importlib
import sys

from tests.measure import measure as m

NAMES = (
    "lettering",
    "journal",
    "long_plate",
    "player",
    "day",
    "memory",
    "startup",
    "cpu",
    "idle",
    "idle_list",
    "slow_line",
    "keys",
    "listed",
    "learning",
    "bottles",
    "strength",
    "recipes",
    "faults",
    "commands",
    "catalogue_fill",
    "growth",
    "trends",
    "exports",
)
ONLY_LONG = ("review",)
"""Measured without --short alone: a season of many plates is written and looked at in a terminal."""


def main(words: list[str]) -> int:
    """Measure what is named, or everything; print a row for each."""
    short = "--short" in words
    names = [word for word in words if not word.startswith("-")] or [*NAMES, *(() if short else ONLY_LONG)]
    worst = 0.0
    m.compile_both_sides()
    print(m.table_head(), flush=True)
    for name in names:
        if name not in NAMES + ONLY_LONG:
            print(f"no measurement '{name}'; known are {', '.join(NAMES + ONLY_LONG)}", file=sys.stderr)
            return 2
        try:
            rows = importlib.import_module(f"tests.measure.{name}").measure(short)
        except (RuntimeError, TimeoutError) as error:
            print(f"{name}: not measured: {error}")
            worst = float("inf")
            continue
        for row in rows:
            print(row, flush=True)
            worst = max(worst, row.over)
    return 1 if worst > 2 else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
