"""How the tool grows with the plates of a log: one line a step for each size of the log.

    python -m tests.measure.growth [--plates 1000,10000,100000,1000000] [--short]

Invented plates are generated into a temporary folder and thrown away; --short takes 1,000 alone. A plate
takes some 16 kB of the disk, and a millisecond to make. Each step is a process of its own: `wall` and `cpu`
are its seconds (first page, filter and DuckDB: without the start of Python), `peak` the most memory it had.
"""

from __future__ import annotations

import argparse
import math
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from darkroom.log.journal.find import find_plates
from darkroom.log.plate.record import read_record
from tests.measure import measure as m
from tests.measure.launched import Took, run

SHORT, LONG = 1_000, 10_000
"""Plates of the rows in the table of all measurements."""
SIZES = "1000,10000,100000,1000000"
DARKROOM = (sys.executable, "-m", "darkroom")
MOST_MEMORY = 100.0
"""Megabytes that writing Parquet tables may take, its library included, however many plates there are."""


def generate(home: Path, plates: int) -> Took:
    """Write so many invented plates into a log that is not there yet, two hundred days a season."""
    days = str(max(200, plates // 50))
    argv = (sys.executable, "-m", "tests.kit.season", str(home), str(plates), "--days", days)
    return run(argv, home)[0]


def _asked(step: str) -> Callable[[Path], Took]:
    def took(home: Path) -> Took:
        whole, printed = run((sys.executable, "-m", "tests.measure.growth_page", step, str(home)), home)
        seconds = statistics.median(map(float, printed.split()))
        return Took(seconds, seconds, whole.peak)

    return took


def _command(*words: str) -> Callable[[Path], Took]:
    return lambda home: run((*DARKROOM, "log", *words), home)[0]


def _export_csv(home: Path) -> Took:
    to = home.parent / "plates.csv"
    try:
        return run((*DARKROOM, "log", "export", "csv", "--all", "--to", str(to)), home)[0]
    finally:
        to.unlink(missing_ok=True)


def export_tables(home: Path) -> Took:
    """Write Parquet tables beside the log, into `tables`, in place of those that are there."""
    to = str(home.parent / "tables")
    return run((*DARKROOM, "log", "export", "parquet", "--all", "--force", "--to", to), home)[0]


def asked_of_tables(home: Path) -> Iterator[tuple[str, Took]]:
    """Yield what DuckDB took for each question of DEVELOPERS.md; the peak is that of all of them."""
    whole, printed = run((sys.executable, "-m", "tests.measure.growth_questions", str(home.parent)), home)
    for line in printed.splitlines():
        name, seconds = line.split("\t")
        if name != "views":
            yield f"DuckDB: {name}", Took(float(seconds), float("nan"), whole.peak)


STEPS: dict[str, Callable[[Path], Took]] = {
    "filling": _command("reindex"),
    "first page": _asked("page"),
    "filter": _asked("filter"),
    "trends": _command("trends"),
    "export csv": _export_csv,
}
"""The steps that leave nothing behind; the export of Parquet tables comes after them."""


def grow(sizes: Sequence[int]) -> Iterator[tuple[int, str, Took]]:
    """Yield (plates, step, what it took) for each size, the making of the plates first."""
    for plates in sizes:
        with tempfile.TemporaryDirectory(prefix="darkroom-growth-") as name:
            home = Path(name) / "home"
            yield plates, "making the plates", generate(home, plates)
            for step, work in STEPS.items():
                yield plates, step, work(home)
            yield plates, "export parquet", export_tables(home)
            yield from ((plates, step, took) for step, took in asked_of_tables(home))


def fold_all(home: Path) -> float:
    """Return the seconds of the processor that reading and folding each plate once takes."""
    began = time.process_time()
    for path in find_plates(home):
        read_record(path)
    return time.process_time() - began


def measure(short: bool = False) -> list[m.Row]:
    """Return the rows of the table of all measurements: the Parquet export, its memory and its time."""
    plates = SHORT if short else LONG
    with tempfile.TemporaryDirectory(prefix="darkroom-growth-") as name:
        home = Path(name) / "home"
        generate(home, plates)
        peaks: list[float] = []

        def export() -> float:
            took = export_tables(home)
            peaks.append(took.peak)
            return took.cpu

        pairs = m.paired(export, lambda: fold_all(home), 1 if short else 3)
    note = f"{plates} plates; floor: reading and folding them"
    return [
        m.Row(
            "export parquet: memory",
            max(peaks),
            None,
            MOST_MEMORY,
            "MB",
            f"{plates} plates, pyarrow included",
        ),
        pairs.row("export parquet: processor", 2.0, "s", note),
    ]


def main() -> int:
    """Measure, and print a line of a Markdown table for each step."""
    parser = argparse.ArgumentParser(description="How the tool grows with the plates of a log.")
    parser.add_argument("--plates", default=SIZES, help="sizes of the log, with commas")
    parser.add_argument("--short", action="store_true", help="1,000 plates alone")
    options = parser.parse_args()
    sizes = [SHORT] if options.short else [int(size) for size in options.plates.split(",")]
    m.compile_both_sides()
    print("| plates | step | wall (s) | cpu (s) | peak (MB) |\n|---|---|---|---|---|")
    for plates, step, took in grow(sizes):
        cpu = "–" if math.isnan(took.cpu) else m.figure(took.cpu)
        seconds = f"{m.figure(took.wall)} | {cpu}"
        print(f"| {plates:,} | {step} | {seconds} | {took.peak:.0f} |", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
