"""The folders of the bottles: which of them hold lines of which bottle.

A folder that was copied into another one, or beside itself under another name, holds the same bottle: what
its first line says decides, and without one its own name.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from darkroom import plain_files
from darkroom.errors import Problem
from darkroom.late_patterns import late_pattern
from darkroom.log.store.paths import printable

FOLDER = "bottles"
DEPTH = 3
"""So many folders deep is looked: bottles/bottles/<bottle>/<bottle> is what two careless copies make."""
_ID = late_pattern(r"[A-Za-z0-9][A-Za-z0-9_-]*")
_BENCH = late_pattern(r"(?<![A-Za-z0-9])[0-9a-f]{16}(?![A-Za-z0-9])")
_WORD = late_pattern(r"[A-Za-z0-9_-]+")


def is_there(home: Path) -> bool:
    """Return whether something lies where the book does, readable or not. Raises nothing."""
    return os.path.lexists(home / FOLDER)


def is_bottle_id(text: str) -> bool:
    """Return whether a text can be the id of a bottle: it is the name of a folder."""
    return _ID.fullmatch(text) is not None


def walk(home: Path, problems: list[Problem]) -> Iterator[tuple[Path, list[Path]]]:
    """Yield (folder, its files of lines) for each folder of the book, sorted; add what is neither.

    No link is followed. Names that begin with a dot are others' and passed over.
    """
    yield from walk_book(home / FOLDER, problems)


def walk_book(book: Path, problems: list[Problem]) -> Iterator[tuple[Path, list[Path]]]:
    """Yield the same for a book that lies anywhere: `book` is its folder of bottles."""
    yield from _walk(book, DEPTH, problems)


def _walk(folder: Path, depth: int, problems: list[Problem]) -> Iterator[tuple[Path, list[Path]]]:
    files: list[Path] = []
    folders: list[Path] = []
    try:
        with os.scandir(folder) as found:
            entries = sorted(found, key=lambda entry: entry.name)
    except FileNotFoundError:
        return
    except OSError as error:
        text = f"cannot be read: {plain_files.reason(error)}"
        problems.append(Problem(printable(folder), None, None, text))
        return
    top = depth == DEPTH
    for entry in entries:
        if entry.name.startswith("."):
            continue
        path = folder / entry.name
        try:
            is_folder = entry.is_dir(follow_symlinks=False)
        except OSError:
            is_folder = False
        if is_folder:
            folders.append(path)
            if entry.name.endswith(".jsonl"):
                text = "cannot be read: a folder, not a plain file"
                problems.append(Problem(printable(path), None, None, text))
        elif entry.name.endswith(".jsonl"):
            files.append(path)
        elif top:
            text = "no folder of a bottle" + (": a link is not followed" if entry.is_symlink() else "")
            problems.append(Problem(printable(path), None, None, text))
    if files:
        yield folder, files
    for path in folders:
        if depth:
            yield from _walk(path, depth - 1, problems)


def copies_of(home: Path, bottle: str) -> list[Path]:
    """Return the files of lines in each folder that is a bottle's own by its name, or a copy of it.

    A copy's name goes on after the id, as file managers have it: "<id> (copy)".
    """
    ignored: list[Problem] = []
    found = walk(home, ignored)
    return [path for folder, files in found if folder.name.startswith(bottle) for path in files]


def bench_of(name: str) -> str:
    """Return whose lines a file holds: <bench>.jsonl, <bench>.2.jsonl, and "<bench> (copy).jsonl" too."""
    match = _BENCH.search(name) or _WORD.match(name)
    return match[0] if match else name.partition(".")[0]
