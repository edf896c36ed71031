"""The files of the bottles: `bottles/<bottle>/<bench>.jsonl` in the folder of the log, read and appended.

One file a bottle and bench, so that the folders of several benches merge (`merging.py`). `<bench>.2.jsonl`
goes on where `<bench>.jsonl` takes no lines; its lines go on counting. Reading never raises.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path

import msgspec

from darkroom.errors import NotSavedError, Problem, WrongUse
from darkroom.event_base import Newer
from darkroom.log.bottles import written
from darkroom.log.bottles.folders import FOLDER, bench_of, copies_of, is_bottle_id, walk
from darkroom.log.journal.event_files import EventFiles, NotTaken
from darkroom.log.journal.frame import LineReader
from darkroom.log.store.paths import printable
from darkroom.process.text.instants import instant_of
from darkroom.solutions.bottle import Bottle, fold, in_order
from darkroom.solutions.events import READER, SCHEMA, BottleEntry, BottleEvent, Made

LARGEST = 1 << 22
"""So many bytes of one file are read: over ten thousand lines."""
MOST_LINES = 100_000
"""More than a file of LARGEST bytes holds. Where a file cannot be read, its further file counts from here."""
MOST_FILES = 9
"""So many files of one bottle and bench are tried."""
FILES = EventFiles(LineReader(READER, BottleEvent), LARGEST, "the book of bottles")


class Shelf(msgspec.Struct, frozen=True, kw_only=True):
    """The bottles of the book by id, the oldest first, and what in their files cannot be read.

    `unmade` has the lines of those whose making was withdrawn, by id: they are no bottles until it is taken
    back.
    """

    bottles: dict[str, Bottle] = {}
    unmade: dict[str, tuple[BottleEntry, ...]] = {}
    problems: tuple[Problem, ...] = ()


def path_of(home: Path, bottle: str, bench: str) -> Path:
    """Return the file of a bottle at a bench. Raises WrongUse for an id that is no file name."""
    if not is_bottle_id(bottle):
        raise WrongUse(f"'{bottle}' cannot be the id of a bottle")
    return home / FOLDER / bottle / f"{bench}.jsonl"


def read_shelf(home: Path) -> Shelf:
    """Return all bottles of the book in `home`. Raises nothing."""
    problems: list[Problem] = []
    lines: dict[str, list[BottleEntry]] = {}
    for folder, files in walk(home, problems):
        entries, found = read_files(files)
        problems += found
        if entries:
            lines.setdefault(_bottle_of(entries, folder), []).extend(entries)
    problems += _gone(home, lines)
    bottles: list[Bottle] = []
    unmade: dict[str, tuple[BottleEntry, ...]] = {}
    for name, entries in lines.items():
        bottle = fold(name, entries)
        if bottle is not None:
            bottles.append(bottle)
        elif any(isinstance(entry.event, Made) for entry in entries):
            unmade[name] = tuple(in_order(entries))
        else:
            text = "nothing here says what was made: the file with its first line is missing"
            problems.append(Problem(printable(home / FOLDER / name), None, None, text))
    bottles.sort(key=lambda bottle: (bottle.made, bottle.id))
    return Shelf(bottles={bottle.id: bottle for bottle in bottles}, unmade=unmade, problems=tuple(problems))


def check(home: Path) -> tuple[int, list[Problem]]:
    """Return how many bottles the book has, and what is wrong with it: in its files, and between its lines.

    What a bottle's own lines do not agree on is named with its folder.
    """
    shelf = read_shelf(home)
    problems = list(shelf.problems)
    for bottle in shelf.bottles.values():
        folder = printable(home / FOLDER / bottle.id)
        problems += (Problem(folder, None, None, text) for text in bottle.problems)
    return len(shelf.bottles), problems


def _bottle_of(entries: Iterable[BottleEntry], folder: Path) -> str:
    made = next((entry.event for entry in entries if isinstance(entry.event, Made)), None)
    return folder.name if made is None or not is_bottle_id(made.bottle) else made.bottle


def read_files(files: Iterable[Path]) -> tuple[list[BottleEntry], list[Problem]]:
    """Return the lines of files of one bottle, of every bench, and what cannot be read."""
    entries: list[BottleEntry] = []
    problems: list[Problem] = []
    for path in files:
        bench = bench_of(path.name)
        lines, found = FILES.read(path)
        problems += found
        for line in lines:
            when = line.members.get("when") if isinstance(line, Newer) else line.when
            happened = line.at if when is None or not isinstance(when, str) else when
            instant = instant_of(happened)
            if instant is not None:
                place = f"{bench}:{line.n}"
                entries.append(
                    BottleEntry(place=place, bench=bench, instant=instant, happened=happened, event=line)
                )
            else:
                text = f"line {line.n} has no time that can be read: {happened[:60]}"
                problems.append(Problem(printable(path), None, None, text))
    return entries, problems


def append(
    home: Path, bottle: str, bench: str, build: Callable[[int], Sequence[BottleEvent]]
) -> Sequence[BottleEvent]:
    """Append lines to a bottle's file of this bench; return them, saved.

    `build` gets the number of the first line, which no line of this bench has in any file of the bottle, nor
    had as far as this machine knows. Where the file takes no lines a further one goes on. Raises
    NotSavedError for a bottle that a newer darkroom made, and as `EventFiles.append`; WrongUse for an id that
    is none.
    """
    path = path_of(home, bottle, bench)
    refused: NotTaken | None = None
    for number in range(1, MOST_FILES + 1):
        file = path if number == 1 else path.with_name(f"{bench}.{number}.jsonl")
        try:
            before = max(_last(home, bottle, bench), written.highest(home, bottle, bench))
            added = FILES.append(file, build, before)
            if added:
                written.keep(home, bottle, bench, added[0].n, added[-1].n)
            return added
        except NotTaken as error:
            refused = refused or error
    raise NotSavedError(str(refused))


def _gone(home: Path, lines: Mapping[str, Sequence[BottleEntry]]) -> Iterator[Problem]:
    """Yield a problem for each file that lacks lines which this machine has written into it.

    A bottle whose folder is missing altogether was taken away by hand: nothing is said of it.
    """
    for (bottle, bench), (begun, highest) in written.spans(home).items():
        if bottle not in lines or highest > MOST_LINES:  # those numbers have a gap: see `_last`
            continue
        numbers = {line.event.n for line in lines[bottle] if line.bench == bench}
        missing = [n for n in range(begun, highest + 1) if n not in numbers]
        if not missing:
            continue
        files = [FILES.read(path) for path in copies_of(home, bottle) if bench_of(path.name) == bench]
        read = {line.n for found, _ in files for line in found}
        missing = [n for n in missing if n not in read]
        # A line that cannot be read, or stands twice in one file, is counted: the numbers go on above it.
        passed = sum(
            len(problems) + len(found) - len({line.n for line in found}) for found, problems in files
        )
        if len(missing) > passed:
            first, last = missing[0], missing[-1]
            those = f"line {first} is" if first == last else f"lines {first} to {last} are"
            if last - first >= len(missing):
                those = f"{len(missing)} lines of {first} to {last} are"
            text = f"{those} gone: an older copy was put over it; `darkroom bottle merge` the newer one"
            yield Problem(printable(path_of(home, bottle, bench)), None, None, text)


def _last(home: Path, bottle: str, bench: str) -> int:
    """Return the greatest number that a line of this bench may have in the files of a bottle."""
    own = path_of(home, bottle, bench)
    mine = {own, *(own.with_name(f"{bench}.{number}.jsonl") for number in range(2, MOST_FILES + 1))}
    last = unreadable = 0
    for path in {*copies_of(home, bottle), *mine}:
        lines, problems = FILES.read(path)
        if any(isinstance(line, Made) and line.schema > SCHEMA for line in lines):
            text = "a newer darkroom made this bottle: nothing is added to it here"
            raise NotSavedError(f"{printable(path)}: {text}")
        if bench_of(path.name) == bench:
            unreadable += not lines and bool(problems) and problems[0].line is None  # the file itself
            last = max([last, len(lines) + len(problems), *(line.n for line in lines)])
    return max(last, unreadable * MOST_LINES)
