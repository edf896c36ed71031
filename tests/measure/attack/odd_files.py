"""Pipes, devices, loops, huge and wrong files under every name that the tool reads: no plate is lost.

Each file of a log, of the state folder and of the command line is swapped for each kind of odd file. Every
command that reads it must end in time, within memory, without a traceback; and with several of them odd at
once the full-screen tool must open with the plate that was on the bench.
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from tests.kit.odd_files import KINDS
from tests.kit.odd_home import PLACES, OddHome
from tests.measure.attack.attempts import Attempts, tool

FEW = ("fifo", "device zero", "huge", "json wrong", "escapes")
"""The kinds of the short form."""
AT_THE_BENCH = (
    ("bench.json", "keys.yaml", "kit.yaml", "day sheet", "words", "changed", "journal"),
    ("bench-id", "settings.yaml", "catalogue", "further journal", "crash.txt", "bottle"),
    ("bench.lock", "key map", "profile", "day", "thermometer", "sound", "recipe", "spilled journal"),
)
"""Files that are odd at the same time when the tool opens; none hides what another does."""


def attack(short: bool) -> Attempts:
    """Swap each file for each kind of odd file; run what reads it."""
    attempts = Attempts()
    kinds = list(FEW if short else KINDS)
    halves = [partial(_swap_all, kinds=kinds[half::2], short=short, half=half) for half in (0, 1)]
    told = attempts.side_by_side(halves)
    attempts.figures["peak"] = f"{max(peak for peak, _ in told) >> 20} MB"
    attempts.figures["slowest"] = f"{max(slowest for _, slowest in told):.1f} s"
    return attempts


def _swap_all(attempts: Attempts, kinds: Sequence[str], short: bool, half: int) -> tuple[int, float]:
    """Swap in a log of its own; return the most memory, in bytes, and the most seconds a command took."""
    peak, slowest = 0, 0.0
    with tempfile.TemporaryDirectory() as folder:
        odd = OddHome(Path(folder), tool())
        missing = odd.plate_comes_back()
        attempts.expect(missing is None, f"to a log as it should be: {missing}")
        for turn, kind in enumerate(kinds, half):
            for number, (name, place) in enumerate(PLACES.items()):
                if short and (number + turn) % 2:
                    continue
                with odd.swapped(kind, place):
                    for words in place.commands[: 1 if short else None]:
                        run = odd.command(*words)
                        wrong = run.wrong()
                        attempts.expect(wrong is None, f"{name} as {kind}: {' '.join(words)}: {wrong}")
                        peak, slowest = max(peak, run.peak), max(slowest, run.seconds)
            for names in AT_THE_BENCH[: 1 if short else None]:
                with odd.swapped(kind, *(PLACES[name] for name in names)):
                    missing = odd.plate_comes_back()
                    attempts.expect(missing is None, f"{', '.join(names)} as {kind}: {missing}")
    return peak, slowest
