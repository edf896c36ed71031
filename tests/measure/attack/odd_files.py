"""Pipes, devices, loops, huge and wrong files under every name that the tool reads: no plate is lost.

Each file of a log, of the state folder and of the command line is swapped for each kind of odd file. Every
command that reads it must end in time, within memory, without a traceback, and the full-screen tool must
open with the plate that was on the bench.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.kit.odd_files import KINDS
from tests.kit.odd_home import PLACES, OddHome
from tests.measure.attack.attempts import Attempts, tool

FEW = {"fifo", "device zero", "huge", "json wrong", "escapes"}
"""The kinds of the short form."""
NOT_AT_THE_BENCH = {"picture", "argument", "crash.txt"}


def attack(short: bool) -> Attempts:
    """Swap each file for each kind of odd file; run what reads it."""
    attempts = Attempts()
    peak, slowest = 0, 0.0
    with tempfile.TemporaryDirectory() as folder:
        odd = OddHome(Path(folder), tool())
        attempts.expect(
            odd.plate_comes_back() is None, "the plate does not come back to a log as it should be"
        )
        for number, (name, place) in enumerate(PLACES.items()):
            for each, kind in enumerate(KINDS):
                if short and (kind not in FEW or (number + each) % 2):
                    continue
                path = odd.swap(place, kind)
                for words in place.commands[: 1 if short else None]:
                    run = odd.command(*words)
                    wrong = run.wrong()
                    attempts.expect(wrong is None, f"{name} as {kind}: {' '.join(words)}: {wrong}")
                    peak, slowest = max(peak, run.peak), max(slowest, run.seconds)
                if name not in NOT_AT_THE_BENCH and (not short or kind == "fifo"):
                    missing = odd.plate_comes_back()
                    attempts.expect(missing is None, f"{name} as {kind}: at the bench: {missing}")
                odd.put_back(path)
    attempts.figures |= {"peak": f"{peak >> 20} MB", "slowest": f"{slowest:.1f} s"}
    return attempts
