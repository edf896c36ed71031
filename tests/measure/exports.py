"""Exports of many plates against reading and folding them, by the processor time of whole processes.

    python -m tests.measure.exports [--short] [PLATES]

A season of PLATES invented plates (10,000; 1,000 with --short) is written to a temporary folder. The floor
is a process that reads and folds every plate once by `read_record`, as every export must, and writes nothing.
Both have their bytecode compiled and run in turns. The sidecars go into a new folder each time; once more
they are made where they are already, which leaves those that would be the same. The catalogue, which a report
asks why its plates failed, is up to date before, as after any look at the log. The note tells the most memory
of the export.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Sequence
from itertools import count
from pathlib import Path

from tests.kit import season
from tests.measure import measure as m
from tests.measure.launched import run

SHORT, LONG = 1_000, 10_000
ROUNDS_SHORT, ROUNDS_LONG = 1, 3
AGAIN = "again"
"""What follows the name of a format that is written over what the export before has left."""
AIMS = {"csv": 1.5, "html": 2.0, "jsonl": 2.0, "xmp": 2.0, f"xmp {AGAIN}": 2.0, "labels": 1.5}
"""The most floors that each format takes."""
WHY = {"html": "a section of 12 kB with its drawing and trend rows take more than reading a plate"}
"""What takes the time of a format that misses its aim."""


class Runs:
    """Runs programs on a log, and keeps the most memory that any of them took, in MB."""

    def __init__(self, home: Path) -> None:
        self.home, self.most = home, 0.0

    def cpu(self, argv: Sequence[str]) -> float:
        """Return the seconds of the processor that a program takes. Raises RuntimeError where it fails."""
        took, _ = run((sys.executable, *argv), self.home)
        self.most = max(self.most, took.peak)
        return took.cpu


def export(runs: Runs, form: str) -> Callable[[], float]:
    """Return a way to export all plates of a log: the seconds of the processor that it takes.

    A file is replaced; a folder of sidecars is a new one each time, unless `AGAIN` follows the format's name.
    """
    name, _, again = form.partition(" ")
    number = count()

    def cpu() -> float:
        to = f"{form} export" if again or name != "xmp" else f"{form} export {next(number)}"
        argv = ("-m", "darkroom", "log", "export", name, "--all", "--force", "--to")
        return runs.cpu([*argv, str(runs.home.parent / to)])

    return cpu


def measure(short: bool = False, plates: int | None = None) -> list[m.Row]:
    """Measure every format that one file or one folder holds."""
    plates = plates or (SHORT if short else LONG)
    rows = []
    with tempfile.TemporaryDirectory() as name:
        home = Path(name, "log")
        season.write(home, plates)
        floor = Runs(home)
        Runs(home).cpu(["-m", "darkroom", "log", "list", "--json"])  # fills the catalogue
        for form, aim in AIMS.items():
            runs = Runs(home)
            pairs = m.paired(
                export(runs, form),
                lambda: floor.cpu([str(m.FLOORS / "folded.py"), str(home)]),
                ROUNDS_SHORT if short else ROUNDS_LONG,
            )
            note = f"{plates:,} plates; {runs.most:.0f} MB at most, the floor {floor.most:.0f} MB"
            note += f"; {WHY[form]}" if form in WHY else ""
            rows.append(pairs.row(f"export of many plates, {form}", aim, "s", note))
    return rows


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:] if word.isdecimal()]
    for row in measure("--short" in sys.argv, *numbers):
        print(row)
