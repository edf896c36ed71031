"""Another book of bottles taken into this one: by the lines of each file, never by a file's age.

Of two files of one bottle and bench the longer one counts where the shorter is a beginning of it. Where they
went apart both are kept: theirs beside ours as a further file `<bench>.<k>.jsonl`, which reading unites, the
same line twice as one. Files only ever grow, each under its lock. The same merge again changes nothing.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.errors import NothingFound, NotReadable, NotSavedError, Problem
from darkroom.event_base import Newer
from darkroom.log.bottles.files import FILES, LARGEST, path_of
from darkroom.log.bottles.folders import FOLDER, bench_of, copies_of, is_bottle_id, walk_book
from darkroom.log.journal import frame
from darkroom.log.store.paths import printable
from darkroom.solutions.events import BottleEvent, Made

MOST_BESIDE = 99
"""So many files of one bottle and bench are kept, those that went apart among them."""


class Came(msgspec.Struct, frozen=True):
    """How many lines came into a file of this book."""

    path: Path
    lines: int


class Merged(msgspec.Struct, frozen=True, kw_only=True):
    """What a merge did: the files that grew, how many files were looked at, and what is wrong."""

    came: tuple[Came, ...] = ()
    files: int = 0
    problems: tuple[Problem, ...] = ()


class _File(msgspec.Struct, frozen=True):
    """A file of theirs: its whole lines as bytes, and as events."""

    path: Path
    bottle: str
    bench: str
    data: bytes
    lines: tuple[BottleEvent | Newer, ...]


def merge(home: Path, other: Path) -> Merged:
    """Take the book in `other`, the folder of a log or its `bottles`, into the one in `home`.

    Raises NotReadable where `other` is no folder, NothingFound where no bottle is in it. A file that cannot
    be written is a problem, and the others are taken.
    """
    if not os.path.isdir(other):  # one that may not be looked into raises nothing here
        raise NotReadable(f"{printable(other)}: no folder of a log")
    book = other / FOLDER if os.path.isdir(other / FOLDER) else other
    problems: list[Problem] = []
    came: list[Came] = []
    count = 0
    for theirs in _files(book, problems):
        count += 1
        try:
            came += _take(home, theirs, problems)
        except NotSavedError as error:
            problems.append(Problem(printable(theirs.path), None, None, str(error)))
    if not count and not problems:
        raise NothingFound(f"{printable(book)}: no bottle is in it")
    return Merged(came=tuple(came), files=count, problems=tuple(problems))


def _files(book: Path, problems: list[Problem]) -> Iterator[_File]:
    """Yield each file of a book that has lines, by bottle."""
    outside: list[Problem] = []
    for folder, paths in walk_book(book, outside):
        read: list[tuple[Path, bytes, tuple[BottleEvent | Newer, ...]]] = []
        for path in paths:
            try:
                data = plain_files.read_start(path, LARGEST + 1)
            except OSError as error:
                text = f"cannot be read: {plain_files.reason(error)}"
                problems.append(Problem(printable(path), None, None, text))
                continue
            if len(data) > LARGEST:
                text = f"longer than {LARGEST >> 20} MB: not taken"
                problems.append(Problem(printable(path), None, None, text))
                continue
            whole = _whole(data)
            lines, wrong = FILES.lines_of(path, whole)
            problems += wrong
            if lines:
                read.append((path, whole, tuple(lines)))
        made = (line for _, _, lines in read for line in lines if isinstance(line, Made))
        bottle = next((line.bottle for line in made if is_bottle_id(line.bottle)), folder.name)
        for path, whole, found in read:
            if is_bottle_id(bottle):
                yield _File(path, bottle, bench_of(path.name), whole, found)
            else:
                text = "nothing here says which bottle it is: not taken"
                problems.append(Problem(printable(path), None, None, text))
    problems += (one for one in outside if "cannot be read" in one.what)


def _whole(data: bytes) -> bytes:
    """Return the whole lines: what is torn at the end is left out, a last line without its LF gets it."""
    end = data.rfind(b"\n") + 1
    last = data[end:]
    return data[:end] + last + b"\n" if frame.is_sound(last) else data[:end]


def _take(home: Path, theirs: _File, problems: list[Problem]) -> Iterator[Came]:
    """Take one file of theirs; yield what came. Raises NotSavedError."""
    ours = {path: _held(path) for path in _ours(home, theirs)}
    if any(held.startswith(theirs.data) for held in ours.values()):
        return
    known = {path: FILES.lines_of(path, held)[0] for path, held in ours.items()}
    every = [line for lines in known.values() for line in lines]
    new = sum(line not in every for line in theirs.lines)
    beginnings = [path for path, held in ours.items() if held and theirs.data.startswith(held)]
    for path in sorted(beginnings, key=lambda path: len(ours[path]), reverse=True):
        if FILES.extend(path, theirs.data):
            if new:
                yield Came(path, new)
            return
    if not new:
        return
    own = path_of(home, theirs.bottle, theirs.bench)
    named = own.with_name(theirs.path.name) if _is_ours(theirs) else own
    for path in (named, *(own.with_name(f"{theirs.bench}.{k}.jsonl") for k in range(2, MOST_BESIDE + 1))):
        if not ours.get(path) and FILES.extend(path, theirs.data):
            yield Came(path, new)
            if path != named:
                text = f"and {printable(named)} went apart: its {_lines(new)} that we lacked are kept in"
                problems.append(Problem(printable(theirs.path), None, None, f"{text} {printable(path)}"))
            return
    raise NotSavedError(f"{MOST_BESIDE} files of this bottle and bench went apart: not taken")


def _ours(home: Path, theirs: _File) -> list[Path]:
    """Return the files of this book that have lines of the same bottle and bench."""
    found = {path for path in copies_of(home, theirs.bottle) if bench_of(path.name) == theirs.bench}
    return sorted(found, key=lambda path: (len(path.name), path))


def _held(path: Path) -> bytes:
    try:
        return plain_files.read_start(path, LARGEST)
    except OSError:
        return b""


def _is_ours(theirs: _File) -> bool:
    """Return whether a file has a name that this tool gives: <bench>.jsonl, <bench>.2.jsonl."""
    bench, *further = theirs.path.name.removesuffix(".jsonl").split(".")
    return bench == theirs.bench and (not further or (len(further) == 1 and further[0].isdecimal()))


def _lines(count: int) -> str:
    return "line" if count == 1 else f"{count} lines"
