"""Commands about the log, from exec to their end, against a Python that imports click alone.

    python -m tests.measure.run commands

Wall clock, and the processor time of the process, in turns with the floor. `log show` reads one journal.
`log list` prints a line for each plate, looked at by its sum, and looks at the state of every journal's file
no more than once a minute: most of its turns are within the minute of the first. The note says what the look
takes beside.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.schema import FOR_READY_LINES
from tests.kit import season
from tests.measure import measure as m

CLICK = (sys.executable, "-c", "import click")
DARKROOM = (sys.executable, "-m", "darkroom")
SHOW_AIM, NUMBER_AIM, LIST_AIM = 1.8, 3.0, 2.5
Cost = tuple[float, float]
"""Seconds by the wall clock and of the processor."""


def once(argv: Sequence[str], home: Path) -> Cost:
    """Return what one run costs; what it prints goes nowhere."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    env |= {"DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(home / "state"), "PYTHONPATH": str(m.ROOT)}
    before, start = processor(), time.perf_counter()
    subprocess.run(argv, env=env, cwd=home, stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start, processor() - before


def processor() -> float:
    """Return the processor seconds of all children that have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def rows(what: str, argv: Sequence[str], home: Path, aim: float, rounds: int, note: str) -> list[m.Row]:
    """Return the rows of a command by the wall clock and by the processor."""
    values: list[Cost] = []
    floors: list[Cost] = []
    wall = m.paired(kept(values, argv, home), kept(floors, CLICK, home), rounds)
    ratios = [value[1] / floor[1] for value, floor in zip(values, floors, strict=True)][1:]
    used, base = ([cost[1] for cost in costs][1:] for costs in (values, floors))
    cpu = m.Pairs(m.middle(used), m.middle(base), m.middle(ratios), m.spread(ratios))
    return [
        wall.row(f"{what}: wall clock", aim, "ms", note, scale=1000),
        cpu.row(f"{what}: processor", aim, "ms", note, scale=1000),
    ]


def kept(into: list[Cost], argv: Sequence[str], home: Path) -> Callable[[], float]:
    """Return what runs the program, keeps both figures and returns the wall clock's."""

    def work() -> float:
        into.append(once(argv, home))
        return into[-1][0]

    return work


def looked_at(home: Path) -> str:
    """Return in words what a listing takes more that looks at the state of every file."""
    with Catalogue(home) as log:
        start = time.process_time()
        log.check(tables=FOR_READY_LINES)
        look = time.process_time() - start
    return f"{1000 * look:.0f} ms more for the first in a minute, which looks at the state of every file"


def measure(short: bool = False) -> list[m.Row]:
    """Return the rows of the table of all measurements."""
    m.compile_both_sides()
    plates, rounds = (2_000, 5) if short else (10_000, 15)
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        written = season.write(home, plates)
        with Catalogue(home) as log:
            log.rebuild(helpers=os.cpu_count() or 1)
        shown = (*DARKROOM, "log", "show", written[plates // 2].stem)
        found = rows("darkroom log show", shown, home, SHOW_AIM, rounds, "by its id: one journal is read")
        numbered = (*DARKROOM, "log", "show", str(plates // 2))
        by_number = "by its number: the catalogue is asked, brought up to date within the minute"
        found += rows("darkroom log show NUMBER", numbered, home, NUMBER_AIM, rounds, by_number)
        listed = (*DARKROOM, "log", "list")
        note = looked_at(home)
        return [*found, *rows(f"darkroom log list, {plates:,} plates", listed, home, LIST_AIM, rounds, note)]


if __name__ == "__main__":
    for row in measure("--short" in sys.argv):
        print(row)
