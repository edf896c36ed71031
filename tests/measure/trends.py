"""Trends of many plates: read from the catalogue, worked out, drawn.

    python -m tests.measure.trends [PLATES]

A season of PLATES (default 10,000) invented plates is written to a temporary folder. Floor of the
reading: the stages' own question through `sqlite3` alone. 100,000 plates are worked out in 2 s.
"""

from __future__ import annotations

import argparse
import sqlite3
import statistics
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

SHORT, LONG = 2_000, 10_000
FLOOR = """SELECT path, plates.plate, process, stars, stage, ends, stages.how, seconds, source, celsius,
origin, law, cleared FROM plates JOIN stages USING (path) WHERE stages.how IN ('strike', 'short')"""


def took(work: Callable[[], object]) -> float:
    """Return the milliseconds that the work takes, at the median of three."""
    times = []
    for _ in range(3):
        began = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - began))
    return statistics.median(times)


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
    shown = [picture(one) for one in subjects(trends(rows))]
    most = max(shown, key=lambda one: len(one.points))
    plots = {"plot_80": took(lambda: plot(most, 80, 20)), "plot_200": took(lambda: plot(most, 200, 56))}
    return {"read": read, "read_floor": floor, "worked_out": worked_out, **plots}


def measure(short: bool = False) -> list[Any]:
    """Return the rows of the table of all measurements."""
    plates = SHORT if short else LONG
    with tempfile.TemporaryDirectory() as name:
        found = compare(Path(name), plates)
    return [
        m.Row(
            "trends: read",
            found["read"],
            found["read_floor"],
            3 * found["read_floor"],
            "ms",
            f"{plates} plates",
        ),
        m.Row(
            "trends: worked out", found["worked_out"], None, 2000 * plates / 100_000, "ms", "2 s for 100,000"
        ),
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
        for key, value in compare(Path(name), parser.parse_args().plates).items():
            print(f"{key:12} {value:10.2f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
