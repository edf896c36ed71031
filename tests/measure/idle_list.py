"""The list of plates left alone: its processor time and how often it wakes, with many plates.

    python -m tests.measure.idle_list [--short] [--keep FOLDER]

The floor is an empty app of the same toolkit. `--keep` uses the seasons in
FOLDER again, and makes them there at first.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.kit.terminal import Terminal
from tests.measure import idle, review
from tests.measure import measure as m

SIZES = (10_000, 100_000)
SETTLING = 3.0
"""So long after the last journal was compared nothing is counted, in seconds."""


@contextmanager
def list_of(home: Path) -> Iterator[Terminal]:
    """Show the list of a log, every journal of it compared."""
    with review.looking(home) as terminal:
        review.Film(terminal).until(review.settled)
        time.sleep(SETTLING)
        yield terminal


def rows_of(home: Path, plates: int, seconds: float) -> list[m.Row]:
    """Return the rows of one log."""
    floor = idle.empty(seconds)
    with list_of(home) as terminal:
        found = idle.use(terminal, seconds)
    what, note = f"list of {plates:,} idle", f"{found.bytes:.0f} bytes/s to the terminal"
    return [
        m.Row(f"{what}: processor", found.processor, floor.processor, idle.MOST_PROCESSOR, "%", note),
        m.Row(f"{what}: wake-ups", found.wake_ups, floor.wake_ups, idle.MOST_WAKE_UPS, "/s"),
    ]


def measure(short: bool = False, keep: Path | None = None) -> list[m.Row]:
    """Return the rows of each size; the short one is of the small log alone."""
    found: list[m.Row] = []
    for plates in SIZES[: 1 if short else None]:
        with tempfile.TemporaryDirectory() as name:
            home = review.prepared((keep or Path(name)) / f"season-{plates}", plates)
            found += rows_of(home, plates, 10.0 if short else 60.0)
    return found


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="The list of plates left alone.")
    parser.add_argument("--keep", type=Path, help="a folder for the seasons, used again")
    parser.add_argument("--short", action="store_true")
    options = parser.parse_args()
    for row in measure(options.short, options.keep):
        print(row)


if __name__ == "__main__":
    main()
