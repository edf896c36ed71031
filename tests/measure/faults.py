"""Why a plate failed: the engine for each shipped fault, the history of figures, `darkroom fault why`.

    python -m tests.measure.run faults

Floor of the engine: a product for each set of causes and marked fault, an exponential for each set, summed.
Floor of the history: the same plates' rows read through `sqlite3` alone. Floor of the command: a Python that
imports click alone.
"""

from __future__ import annotations

import math
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from darkroom.faults.engine import MOST_AT_ONCE, MOST_CANDIDATES, posterior
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.fault_history import BEFORE, fault_history
from darkroom.resources import fault_catalogue
from tests.kit import season
from tests.measure import measure as m

ENGINE_AIM = 40.0
"""Times the floor that weighing a set of causes may take."""
HISTORY_AIM = 6.0
"""Times the floor that figures may take: their rows are checked, decoded and told of as they were then."""


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


def measure(short: bool = False) -> list[m.Row]:
    """Return the rows of the table of all measurements."""
    return [*engine(short), *history(short)]


if __name__ == "__main__":
    for row in measure("--short" in sys.argv):
        print(row)
