"""The files of the bottles: `bottles/<bottle>/<bench>.jsonl` in the folder of the log, read and appended.

One file a bottle and bench, so that the folders of several benches merge by copying. `<bench>.2.jsonl` goes
on where `<bench>.jsonl` could not be written; its lines go on counting. Reading never raises.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.errors import Problem, WrongUse
from darkroom.log.journal.event_files import EventFiles
from darkroom.log.journal.frame import LineReader
from darkroom.log.store import paths
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.events import READER, BottleEntry, BottleEvent

FOLDER = "bottles"
LARGEST = 1 << 22
"""So many bytes of one file are read: over ten thousand lines."""
FILES = EventFiles(LineReader(READER, BottleEvent), LARGEST, "the book of bottles")


class Shelf(msgspec.Struct, frozen=True, kw_only=True):
    """The bottles of the book by id, the oldest first, and what in their files cannot be read."""

    bottles: dict[str, Bottle] = {}
    problems: tuple[Problem, ...] = ()


def path_of(home: Path, bottle: str, bench: str) -> Path:
    """Return the file of a bottle at a bench. Raises WrongUse for an id that is no file name."""
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]*", bottle):
        raise WrongUse(f"'{bottle}' cannot be the id of a bottle")
    return home / FOLDER / bottle / f"{bench}.jsonl"


def read_shelf(home: Path) -> Shelf:
    """Return all bottles of the book in `home`. Raises nothing."""
    bottles: list[Bottle] = []
    problems: list[Problem] = []
    for folder in plain_files.files_like(home / FOLDER, "*"):
        if not folder.is_dir():
            continue
        entries, found = read_entries(folder)
        problems += found
        bottle = fold(folder.name, entries)
        if bottle is not None:
            bottles.append(bottle)
        elif entries:
            text = "nothing here says what was made: the file with its first line is missing"
            problems.append(Problem(paths.printable(folder), None, None, text))
    bottles.sort(key=lambda bottle: (bottle.made, bottle.id))
    return Shelf(bottles={bottle.id: bottle for bottle in bottles}, problems=tuple(problems))


def read_entries(folder: Path) -> tuple[list[BottleEntry], list[Problem]]:
    """Return the lines of one bottle's folder, of every bench, and what cannot be read."""
    entries: list[BottleEntry] = []
    problems: list[Problem] = []
    for path in plain_files.files_like(folder, "*.jsonl"):
        bench = path.name.partition(".")[0]
        lines, found = FILES.read(path)
        problems += found
        for line in lines:
            happened = getattr(line, "when", None) or line.at
            instant = instant_of(happened)
            if instant is None:
                text = f"line {line.n} has no time that can be read: {happened[:60]}"
                problems.append(Problem(paths.printable(path), None, None, text))
                continue
            place = f"{bench}:{line.n}"
            entries.append(
                BottleEntry(place=place, bench=bench, instant=instant, happened=happened, event=line)
            )
    return entries, problems


def append(
    home: Path, bottle: str, bench: str, build: Callable[[int], Sequence[BottleEvent]]
) -> Sequence[BottleEvent]:
    """Append lines to a bottle's file of this bench; return them, saved. Raises as `EventFiles.append`."""
    return FILES.append(path_of(home, bottle, bench), build)


def instant_of(text: str) -> float | None:
    """Return the seconds since the epoch of an RFC 3339 time, or None."""
    try:
        time = datetime.fromisoformat(text)
        return (time if time.tzinfo else time.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return None
