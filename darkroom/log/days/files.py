"""The files of the days: `days/<date>.<bench>.jsonl` in the folder of the log, read and appended to.

The full-screen tool and `darkroom day` may write the same day.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import date, timedelta
from pathlib import Path

from darkroom import plain_files
from darkroom.errors import Problem
from darkroom.event_base import Newer
from darkroom.log.days.events import READER, Day, DayEvent, SeenTo, with_line
from darkroom.log.journal.event_files import EventFiles
from darkroom.log.journal.frame import LineReader
from darkroom.log.store.paths import printable

FOLDER = "days"
LARGEST = 1 << 20
"""A day's file is read so far, in bytes: a sheet gone through a thousand times is shorter."""
FILES = EventFiles(LineReader(READER, DayEvent), LARGEST, "the day's sheet")


def path_of(home: Path, day: str, bench: str) -> Path:
    """Return the file of a day (YYYY-MM-DD) at a bench."""
    return home / FOLDER / f"{day}.{bench}.jsonl"


def read_day(home: Path, day: str, bench: str) -> tuple[Day, list[Problem]]:
    """Return a day as its file tells it, and what in the file cannot be read. Raises nothing."""
    path = path_of(home, day, bench)
    lines, problems = _lines(path)
    told = Day(date=day)
    for line in lines:
        told = with_line(told, line)
    return told, problems


def read_all(home: Path) -> tuple[int, list[Problem]]:
    """Return how many days' files there are, of any bench, and what in them cannot be read."""
    problems: list[Problem] = []
    paths = plain_files.files_like(home / FOLDER, "*.jsonl")
    for path in paths:
        problems += _lines(path)[1]
    return len(paths), problems


def last_seen(home: Path, day: str, bench: str, ids: Collection[str], days: int) -> dict[str, str]:
    """Return {id: the day it was seen to last} for items seen to within `days` days up to `day`."""
    found: dict[str, str] = {}
    last = date.fromisoformat(day)
    for back in range(days + 1):
        name = (last - timedelta(days=back)).isoformat()
        path = path_of(home, name, bench)
        for line in _lines(path)[0]:
            if isinstance(line, SeenTo) and line.id in ids:
                found.setdefault(line.id, name)
    return found


def append(path: Path, build: Callable[[int], Sequence[DayEvent]]) -> Sequence[DayEvent]:
    """Append lines to a day's file, as `EventFiles.append`."""
    return FILES.append(path, build)


def _lines(path: Path) -> tuple[list[DayEvent], list[Problem]]:
    lines, problems = FILES.read(path)
    known: list[DayEvent] = []
    for line in lines:
        if isinstance(line, Newer):
            text = f"line {line.n} is from a newer darkroom: {line.event}"
            problems.append(Problem(printable(path), None, None, text))
        else:
            known.append(line)
    return known, problems
