"""A week in one sitting: plates by day, the log read and judged in the evening, the machine asleep by night.

The clocks of the tool are shifted over the hours between, so each night the date changes under it. A sound
server of its own plays. Memory, threads and open files of the tool and of the player stay flat after the
first days; every plate is in the log under its own day, judged, and the log is without a fault.
"""

from __future__ import annotations

import importlib.util
import json
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import linear_regression

from tests.kit.photographer import journal, run
from tests.kit.plates_in_a_row import ONE_STEP, THREE_STEPS, PlatesInARow, Size
from tests.kit.shifted_clock import ShiftedClock, why_not
from tests.measure.attack.attempts import Attempts

DAYS = (2, 7)
"""Days in the short form and in the long one."""
PLATES = (1, 7)
"""Plates a day."""
LOOKS = (1, 3)
"""Times a day the log is opened and its newest plate judged: caches of what is shown there fill up first."""
BETWEEN = 25 * 60.0
"""Seconds between two plates."""
MORNING = 9
"""The hour at which a day begins."""
FIRST = 21
"""Plates after which memory must stand."""
SLOPE = 0.06
"""Megabytes for a plate, with its share of the evening, that are growth and not noise: until the list of the
log fills its screen each evening has more to show."""


def attack(short: bool) -> Attempts:
    """Live through the week; compare what is held with what was held, and the log with what was done."""
    attempts = Attempts()
    if (reason := why_not()) is not None:
        return attempts.leave_out(reason)
    days, plates = DAYS[0 if short else 1], PLATES[0 if short else 1]
    with tempfile.TemporaryDirectory() as name, _sound_server(short) as sound:
        folder = Path(name)
        clock = ShiftedClock(folder)
        _to_morning(clock)
        row = PlatesInARow(folder, ONE_STEP if short else THREE_STEPS, TZ="UTC", **clock.env, **sound)
        sizes: list[dict[str, Size]] = []
        dates: Counter[str] = Counter()
        with row.hand.terminal:
            row.open()
            for day in range(days):
                for plate in range(plates):
                    dates[datetime.fromtimestamp(clock.wall(), UTC).date().isoformat()] += 1
                    if day or plate:
                        row.next_plate()
                    if not attempts.expect(
                        row.finish(), f"day {day + 1}: plate {plate + 1} was not finished"
                    ):
                        return attempts
                    sizes.append(row.sizes())
                    clock.sleep(BETWEEN)
                for _ in range(LOOKS[0 if short else 1]):
                    row.judge_newest()
                attempts.expect(_judged(row) == day + 1, f"day {day + 1}: the plate is not judged")
                _to_morning(clock)
        _expect_log(attempts, row, dates)
    if not short:
        _expect_flat(attempts, sizes[FIRST:])
    return attempts


@contextmanager
def _sound_server(short: bool) -> Iterator[dict[str, str]]:
    """Yield what leads the tool to a sound server of its own; in the short form, or without one, nothing."""
    if short or importlib.util.find_spec("numpy") is None:
        yield {}
        return
    from tests.kit import sound_recording

    if sound_recording.missing() is not None:
        yield {}
        return
    server = sound_recording.Server()
    try:
        server.start()
        yield server.env
    finally:
        server.close()


def _to_morning(clock: ShiftedClock) -> None:
    """Sleep until the next morning."""
    now = datetime.fromtimestamp(clock.wall(), UTC)
    morning = now.replace(hour=MORNING, minute=0, second=0, microsecond=0)
    while morning <= now:
        morning += timedelta(days=1)
    clock.sleep((morning - now).total_seconds())


def _judged(row: PlatesInARow) -> int:
    """Return how many plates have a judgement in their journals."""
    return sum(any(line["event"] == "rating" for line in lines) for lines in journal(row.hand.home))


def _expect_log(attempts: Attempts, row: PlatesInARow, dates: Counter[str]) -> None:
    """Each plate is done and lies under the day on which it was begun; the log has no fault."""
    home = row.hand.home
    folders = Counter(path.parent.name for path in home.glob("plates/*/*/*.jsonl"))
    attempts.expect(folders == dates, f"days: {dict(folders)}, not {dict(dates)}")
    plates = journal(home)
    numbers = [lines[0]["number"] for lines in plates]
    attempts.expect(numbers == list(range(1, len(plates) + 1)), f"numbers: {numbers}")
    ends = [
        lines[-1]["event"] for lines in plates if not any(line["event"] == "plate_ended" for line in lines)
    ]
    attempts.expect(ends == [], f"plates without an end: {ends}")
    checked = run(home, "log", "check")
    attempts.expect(checked.returncode == 0, f"log check: {checked.stdout}{checked.stderr}")
    listed = json.loads(run(home, "log", "list", "--json").stdout)
    attempts.expect(len(listed) == len(plates), f"{len(listed)} of {len(plates)} plates are listed")


def _expect_flat(attempts: Attempts, sizes: list[dict[str, Size]]) -> None:
    """Memory, threads and open files of each program stand still."""
    programs = {program for size in sizes for program in size}
    attempts.figures["programs"] = " ".join(sorted(programs))
    for program in sorted(programs):
        held = [size[program] for size in sizes if program in size]
        if not attempts.expect(
            len(held) == len(sizes), f"{program} ran at {len(held)} of {len(sizes)} looks"
        ):
            continue
        slope = linear_regression(range(len(held)), [size.memory for size in held]).slope
        attempts.figures[f"{program}, MB a plate"] = f"{slope:.3f}"
        attempts.expect(slope < SLOPE, f"{program}: memory grows by {slope:.3f} MB a plate: {held}")
        for what in ("threads", "files"):
            counts = [getattr(size, what) for size in held]
            attempts.figures[f"{program}, {what}"] = f"{min(counts)}–{max(counts)}"
            attempts.expect(
                counts[-1] <= max(counts[: len(counts) // 2]), f"{program}: {what} grow: {counts}"
            )
