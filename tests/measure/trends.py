"""Trends of many plates: read from the catalogue, worked out, drawn.

    python -m tests.measure.trends [PLATES]

A season of PLATES (default 10,000) invented plates is written to a temporary folder. Floor of the
reading: the stages' own question through `sqlite3` alone. 100,000 plates are to be read and worked out in 3 s
of the processor and 80 MB.
"""

from __future__ import annotations

import argparse
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.trends.figures import picture, subjects
from darkroom.log.trends.reading import trend_rows
from darkroom.log.trends.text_plot import plot
from darkroom.log.trends.trends import trends
from tests.kit import season
from tests.measure import measure as m
from tests.measure.launched import run

SHORT, LONG = 2_000, 10_000
FLOOR = """SELECT path, plates.plate, process, stars, stage, ends, stages.how, seconds, source, celsius,
origin, law, cleared FROM plates JOIN stages USING (path) WHERE stages.how IN ('strike', 'short')"""


def took(work: Callable[[], object]) -> float:
    """Return the milliseconds of the processor that the work takes, at the least disturbed of five."""
    times = []
    for _ in range(5):
        began = time.process_time()
        work()
        times.append(1000 * (time.process_time() - began))
    return min(times)


def compare(home: Path, plates: int) -> dict[str, float]:
    """Measure; times in milliseconds."""
    season.write(home, plates)
    bare = sqlite3.connect(home / NAME)
    with Catalogue(home) as catalogue:
        catalogue.check()
        floor = took(lambda: bare.execute(FLOOR).fetchall())
        read = took(lambda: trend_rows(catalogue, Query()))
        rows = trend_rows(catalogue, Query())
    bare.close()
    worked_out = took(lambda: trends(rows))
    command, _ = run((sys.executable, "-m", "darkroom", "log", "trends"), home)
    shown = [picture(one) for one in subjects(trends(rows))]
    most = max(shown, key=lambda one: len(one.points))
    plots = {"plot_80": took(lambda: plot(most, 80, 20)), "plot_200": took(lambda: plot(most, 200, 56))}
    return {"read": read, "read_floor": floor, "worked_out": worked_out, "memory": command.peak, **plots}


def measure(short: bool = False) -> list[Any]:
    """Return the rows of the table of all measurements."""
    plates = SHORT if short else LONG
    with tempfile.TemporaryDirectory() as name:
        found = compare(Path(name, "log"), plates)
    return [
        m.Row(
            "trends: read, checked and worked out",
            found["read"] + found["worked_out"],
            found["read_floor"],
            3000 * plates / 100_000,
            "ms",
            f"{plates:,} plates: {found['read']:.0f} ms to read, {found['worked_out']:.0f} ms to work out; "
            "3 s for 100,000; every value is checked, unpacked, ranked and put in order without a numeric "
            "library; the floor looks at no sums and keeps nothing",
        ),
        m.Row("trends: memory of the command", found["memory"], None, 80.0, "MB", f"{plates:,} plates"),
        m.Row(
            "trends: the largest plot at 200 x 56",
            found["plot_200"],
            None,
            100.0,
            "ms",
            f"at 80 x 20 {found['plot_80']:.0f} ms",
        ),
    ]


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Trends of many plates against plain SQL.")
    parser.add_argument("plates", nargs="?", type=int, default=LONG)
    with tempfile.TemporaryDirectory() as name:
        for key, value in compare(Path(name, "log"), parser.parse_args().plates).items():
            print(f"{key:12} {value:10.2f} {'MB' if key == 'memory' else 'ms'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
