"""`python -m tests.measure.attack [--short] [NAME…]`: exit status 1 when an attack failed.

Each attack runs in a process of its own; the short ones two at a time, since they mostly wait for the tool.
"""

from __future__ import annotations

import multiprocessing
import sys
from concurrent.futures import ProcessPoolExecutor
from functools import partial

from tests.measure.attack.attempts import timed

ATTACKS: tuple[str, ...] = (
    "coming_back",
    "bench_kills",
    "judging_kills",
    "clock_shifts",
    "export_kills",
    "failing_calls",
    "failing_names",
    "journal_flips",
    "leaving_signals",
    "long_journals",
    "damaged_catalogue",
    "lost_output",
    "terminal_input",
    "terminal_stops",
    "terminal_memory",
    "week_at_the_bench",
    "switches",
    "odd_files",
    "odd_words",
    "odd_places",
    "power_cuts",
    "sound_server",
)  # fmt: skip
"""Modules of this package in the order in which they run; each has `attack(short) -> Attempts`."""


def main(words: list[str]) -> int:
    """Run the attacks that are named, or all; print a row for each and the sum."""
    short = "--short" in words
    names = [word for word in words if not word.startswith("-")] or list(ATTACKS)
    for name in names:
        if name not in ATTACKS:
            print(f"no attack '{name}'; known are {', '.join(ATTACKS)}", file=sys.stderr)
            return 2
    print(f"{'attack':<20}{'tried':>9}{'failed':>8}{'seconds':>9}", flush=True)
    tried = failed = 0
    spawn = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(2 if short else 1, spawn, max_tasks_per_child=1) as pool:
        for name, (attempts, seconds) in zip(
            names, pool.map(partial(timed, short=short), names), strict=True
        ):
            tried, failed = tried + attempts.tried, failed + attempts.failed
            figures = "".join(f"  {key} {value}" for key, value in attempts.figures.items())
            left_out = f"  left out: {attempts.left_out}" if attempts.left_out else ""
            print(
                f"{name:<20}{attempts.tried:>9}{attempts.failed:>8}{seconds:>9.1f}{figures}{left_out}",
                flush=True,
            )
            for failure in attempts.failures:
                print(f"    {failure}", flush=True)
    print(f"{'all':<20}{tried:>9}{failed:>8}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
