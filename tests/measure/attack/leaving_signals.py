"""Signals that end the tool while lines wait for a disk that hangs or is full: no line is lost unsaid."""

from __future__ import annotations

import signal
import tempfile
from pathlib import Path

from tests.kit.failing_disk import FailingDisk, why_not
from tests.kit.leaving import MARKS, MEMORY, Leaving
from tests.kit.leaving_many import LINES, PLATES, LeavingMany, is_whole
from tests.measure.attack.attempts import Attempts

LONGEST = 15.0
TERM, *OTHERS = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGQUIT)
Way = tuple[signal.Signals, str, int, bool]
"""A signal, how the disk fails, how many places fail beside the log, whether the terminal is stalled."""
SHORT: list[Way] = [(TERM, "hangs", 0, False)]
LONG: list[Way] = [
    *((number, "hangs", failing, False) for number in (TERM, *OTHERS) for failing in range(4)),
    *((TERM, "full", failing, False) for failing in range(4)),
    *((number, "hangs", 0, True) for number in (TERM, *OTHERS)),
]
MANY: list[Way] = [
    *((TERM, "hangs", failing, False) for failing in (0, 3)),
    (signal.SIGHUP, "hangs", 0, False),
    *((TERM, "full", failing, False) for failing in (0, 2, 3)),
]
"""The same with several plates at the bench; in the long form alone."""


def attack(short: bool) -> Attempts:
    """Send signals with each way of failing, and with a stalled terminal; start again and count."""
    attempts = Attempts()
    if (reason := why_not()) is not None:
        return attempts.leave_out(reason)
    slowest = 0.0
    for way in SHORT if short else LONG:
        with tempfile.TemporaryDirectory() as folder:
            slowest = max(slowest, _leave(attempts, Path(folder), *way))
    for number, how, failing, _ in () if short else MANY:
        with tempfile.TemporaryDirectory() as folder:
            slowest = max(slowest, _leave_many(attempts, Path(folder), number, how, failing))
    attempts.figures["slowest end, s"] = f"{slowest:.1f}"
    return attempts


def _leave(
    attempts: Attempts, folder: Path, number: signal.Signals, how: str, failing: int, stalled: bool
) -> float:
    """Leave with the log and `failing` further places failing; return the seconds it took."""
    label = f"{number.name} {how} {failing + 1} places{' stalled' if stalled else ''}"
    bench = Leaving(folder)
    disk, places = _failing_disk(bench, how, failing)
    try:
        left = bench.leave(disk, number, stalled=stalled)
        spilled_by_writer = how == "full" and bench.temporary not in places
        expected = 128 + number if spilled_by_writer else 1
        attempts.expect(left.status == expected, f"{label}: exit status {left.status}, not {expected}")
        attempts.expect(left.seconds < LONGEST, f"{label}: {left.seconds:.1f} s until its end")
        if MEMORY in places:
            if not stalled:
                printed = left.screen.count('"event":"mark","sum":"')
                attempts.expect(printed == MARKS, f"{label}: {printed} lines printed")
        else:
            disk.answer()
            marks = bench.marks_that_come_back()
            attempts.expect(marks == MARKS, f"{label}: {marks} of {MARKS} marks came back")
        return left.seconds
    finally:
        bench.clear_memory()


def _leave_many(attempts: Attempts, folder: Path, number: signal.Signals, how: str, failing: int) -> float:
    """Leave with several plates: each is told of with all its lines, which come back or are printed."""
    label = f"{PLATES} plates: {number.name} {how} {failing + 1} places"
    bench = LeavingMany(folder)
    disk, places = _failing_disk(bench, how, failing)
    try:
        left = bench.leave_all(disk, number)
        attempts.expect(left.seconds < LONGEST, f"{label}: {left.seconds:.1f} s until its end")
        if how == "full" and bench.temporary not in places:
            spilled = left.status == 128 + number and left.told == {}
            attempts.expect(spilled, f"{label}: exit status {left.status}, told {left.told}")
        else:
            attempts.expect(left.status == 1, f"{label}: exit status {left.status}")
            each = list(left.told) == list(range(1, PLATES + 1)) and min(left.told.values()) >= LINES
            attempts.expect(each, f"{label}: told {left.told}")
        if MEMORY in places:
            attempts.expect(left.printed == left.told, f"{label}: printed {left.printed}, told {left.told}")
        else:
            disk.answer()
            for log in bench.open_again():
                attempts.expect(is_whole(log), f"{label}: {log.plate} came back with {len(log.events)} lines")
        return left.seconds
    finally:
        bench.clear_memory()


def _failing_disk(bench: Leaving, how: str, failing: int) -> tuple[FailingDisk, list[Path]]:
    """Return a disk that fails below the log and `failing` further places, and these places."""
    places = [bench.home, bench.state, bench.temporary, MEMORY][: failing + 1]
    return FailingDisk(bench.folder, places, "hangs" if how == "hangs" else "full"), places
