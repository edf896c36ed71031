"""`python -m tests.measure.attack [--short] [NAME…]`: exit status 1 when an attack failed."""

from __future__ import annotations

import importlib
import sys
import time

from tests.measure.attack.attempts import Attempts

ATTACKS: tuple[str, ...] = (
    "coming_back",
    "bench_kills",
    "judging_kills",
    "clock_shifts",
    "export_kills",
    "failing_calls",
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
    for name in names:
        start = time.monotonic()
        attempts = _run(name, short)
        tried, failed = tried + attempts.tried, failed + attempts.failed
        figures = "".join(f"  {key} {value}" for key, value in attempts.figures.items())
        left_out = f"  left out: {attempts.left_out}" if attempts.left_out else ""
        seconds = time.monotonic() - start
        print(
            f"{name:<12}{attempts.tried:>9}{attempts.failed:>8}{seconds:>9.1f}{figures}{left_out}", flush=True
        )
        for failure in attempts.failures:
            print(f"    {failure}", flush=True)
    print(f"{'all':<20}{tried:>9}{failed:>8}")
    return 1 if failed else 0


def _run(name: str, short: bool) -> Attempts:
    """Run one attack; one that cannot go on has failed."""
    attempts = Attempts()
    try:
        attempts = importlib.import_module(f"tests.measure.attack.{name}").attack(short)
    except Exception as error:
        attempts.expect(False, f"the attack itself ended: {type(error).__name__}: {error}")
    return attempts


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
