"""Plates one after the other at the bench: memory, threads and open files after the first twenty stay flat.

Each plate is finished and the next one is put on from the menu, by keys alone.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from statistics import linear_regression

from tests.kit.plates_in_a_row import ONE_STEP, THREE_STEPS, PlatesInARow, Size
from tests.measure.attack.attempts import Attempts

PLATES = (12, 60)
"""Plates in the short form and in the long one."""
FIRST = (7, 20)
"""Plates after which memory must stand. Before them the garbage of cycles adds up until the collector looks
at its oldest generation: 4 MB by the seventh plate, 1 MB where it is made to collect all the time."""
SLOPE = (0.3, 0.02)
"""Megabytes for a plate that are growth and not noise."""


def attack(short: bool) -> Attempts:
    """Finish plates; compare the memory, threads and open files of the last with the first."""
    attempts = Attempts()
    if not Path("/proc/self/status").exists():
        return attempts.leave_out("memory is read from /proc")
    form = 0 if short else 1
    sizes: list[Size] = []
    with tempfile.TemporaryDirectory() as name:
        row = PlatesInARow(Path(name), ONE_STEP if short else THREE_STEPS)
        with row.hand.terminal:
            row.open()
            for _ in range(PLATES[form]):
                if not attempts.expect(row.finish(), "a plate was not finished"):
                    return attempts
                sizes.append(row.sizes()["tool"])
                row.next_plate()
    later = sizes[FIRST[form] :]
    slope = linear_regression(range(len(later)), [size.memory for size in later]).slope
    attempts.figures["MB a plate"] = f"{slope:.3f}"
    attempts.figures["MB at the end"] = f"{later[-1].memory:.1f}"
    attempts.expect(slope < SLOPE[form], f"memory grows by {slope:.3f} MB a plate: {sizes}")
    threads = {size.threads for size in later}
    attempts.expect(len(threads) == 1, f"threads: {sorted(threads)}")
    if not short:
        files = {size.files for size in later}
        attempts.expect(len(files) == 1, f"open files: {sorted(files)}")
    return attempts
