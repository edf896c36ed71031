"""Why a plate failed: the engine, the history of figures, the faults of a report, `darkroom fault why`.

    python -m tests.measure.run faults

Floor of the engine: a product for each set of causes and marked fault, an exponential for each set, summed.
Floor of the history: the same plates' rows read through `sqlite3` alone; of the report: one without faults;
of the command: a Python that imports click alone.
"""

from __future__ import annotations

import math
import os
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from unittest import mock

from darkroom.commands.log.fault_book import LogFaults
from darkroom.faults.engine import MOST_AT_ONCE, MOST_CANDIDATES, posterior
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.fault_history import BEFORE, fault_history
from darkroom.log.export.html_report import report
from darkroom.log.export.report_faults import FaultBook
from darkroom.log.plate.record import read_record
from darkroom.resources import fault_catalogue
from tests.kit import fault_season, season
from tests.measure import measure as m
from tests.measure.strength import once

ENGINE_AIM = 40.0
"""Times the floor that weighing a set of causes may take."""
HISTORY_AIM = 6.0
"""Times the floor that figures may take: their rows are checked, decoded and told of as they were then."""

REPORT_MORE, REPORT_ONCE = 0.05, 1500.0
"""A report may take this share more with its faults, and so many milliseconds whatever its size."""
COMMAND_AIM = 5.0
"""Times the floor that the command may take: it reads 35 faults, the log, the book and two journals."""
CLICK = (sys.executable, "-c", "import click")
LAST_DAY = datetime(2026, 5, 15, 9, 0, tzinfo=UTC)


def took(work: Callable[[], object], times: int = 5) -> float:
    """Return the milliseconds that the work takes, at the median."""
    found = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        found.append(1000 * (time.perf_counter() - began))
    return statistics.median(found)


def products(sets: int, faults: int) -> float:
    """Return the sum of a product for each set and fault, and of an exponential for each set."""
    total, factor = 0.0, 0.999
    for number in range(sets):
        for fault in range(faults):
            total += factor * fault
        total += math.exp(-number / sets)
    return total


def engine(short: bool) -> list[m.Row]:
    """Return a row for one fault a plate, the mean of all shipped ones, and one for four faults at once."""
    catalogue, problems = fault_catalogue()
    assert not problems
    names = list(catalogue.faults)
    absent = {one: [name for name in names if name != one] for one in names}
    rows = []
    several = [names[place : place + 4] for place in range(0, len(names), 4)]
    for what, plates in (("one fault", [[name] for name in names]), ("four faults", several)):
        sets = 0
        for marked in plates:
            causes = min(MOST_CANDIDATES, len(catalogue.linked(tuple(marked))))
            sets += sum(math.comb(causes, size) for size in range(MOST_AT_ONCE + 1))

        def all_plates(plates: list[list[str]] = plates) -> None:
            for marked in plates:
                posterior(catalogue, marked, absent[marked[0]], {})

        turns = 5 if short else 25
        value, floor = took(all_plates, turns), took(partial(products, sets, len(plates[0])), turns)
        note = f"{sets / len(plates):.0f} sets a plate, {value / floor:.0f} floors"
        each = 1000 / len(plates)
        rows.append(
            m.Row(
                f"causes weighed, {what}", value * each, floor * each, ENGINE_AIM * floor * each, "µs", note
            )
        )
    return rows


def history(short: bool) -> list[m.Row]:
    """Return a row for the figures of 400 plates out of a log of many."""
    plates = 3_000 if short else 10_000
    faults, _ = fault_catalogue()
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        season.write(home, plates)
        with Catalogue(home) as log:
            log.rebuild()
            value = took(lambda: fault_history(log, faults, {}, {}), 7)
        bare = sqlite3.connect(home / NAME)
        floor = took(lambda: rows_alone(bare), 7)
        bare.close()
    note = f"{BEFORE} plates out of {plates}, {value / floor:.1f} floors"
    return [m.Row("figures of the plates before", value, floor, HISTORY_AIM * floor, "ms", note)]


def rows_alone(db: sqlite3.Connection) -> int:
    """Read the rows that the history is made of; return how many."""
    paths = [path for (path,) in db.execute(f"{_NEWEST} LIMIT {BEFORE}")]
    count = 0
    for table in ("plates", "stages", "readings", "faults", "uses"):
        for path in paths:
            count += len(db.execute(f"SELECT * FROM {table} WHERE path = ?", (path,)).fetchall())
    return count


_NEWEST = "SELECT path FROM plates WHERE shelf = 'plates' ORDER BY plate DESC"


def report_with_faults(short: bool) -> list[m.Row]:
    """Return a row for a report of many plates that have every fault there is, against one without them."""
    plates = 300 if short else 2_000
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        names = tuple(fault_catalogue()[0].faults)
        with mock.patch.object(season, "FAULTS", names):
            paths = season.write(home, plates)
        with Catalogue(home) as log:
            log.rebuild()
        times: dict[bool, list[float]] = {False: [], True: []}
        for turn in range(4 if short else 6):
            told = bool(turn % 2)
            book = LogFaults(home).book() if told else None
            times[told].append(took(partial(written, paths, book), 1))
        value, floor = min(times[True]), min(times[False])
    note = f"{plates} plates, {len(names)} faults, {100 * (value / floor - 1):.1f} % more"
    aim = (1 + REPORT_MORE) * floor + REPORT_ONCE
    return [m.Row("report with its faults", value, floor, aim, "ms", note)]


def written(paths: list[Path], book: FaultBook | None) -> int:
    """Write a report of these plates to nowhere; return its bytes."""
    return sum(map(len, report(map(read_record, paths), "Plates", None, book)))


def command(short: bool) -> list[m.Row]:
    """Return a row for `darkroom fault why`, from exec to its end, of the newest foggy plate of forty."""
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        for number in range(1, fault_season.PLATES + 1):
            fault_season.shelve_plate(home, number, LAST_DAY, {})
        words = (sys.executable, "-m", "darkroom", "fault", "why", str(fault_season.LAST_FOG), "--json")
        with mock.patch.dict(os.environ, {"DARKROOM_HOME": name, "XDG_STATE_HOME": name}):
            once(CLICK)
            once(
                words
            )  # once before, so that neither pays for a cold disk, compiling or filling the catalogue
            pairs = [(once(CLICK), once(words)) for _ in range(5 if short else 15)]
    floor, value = (m.middle(times) for times in zip(*pairs, strict=True))
    return [m.Row("darkroom fault why, from exec to its end", value, floor, COMMAND_AIM * floor, "ms")]


def measure(short: bool = False) -> list[m.Row]:
    """Return the rows of the table of all measurements."""
    return [*engine(short), *history(short), *report_with_faults(short), *command(short)]


if __name__ == "__main__":
    for row in measure("--short" in sys.argv):
        print(row)
