"""Which journals there are and how each looks from outside: size, time, inode. Nothing is opened.

A file that was changed in the last moments may change again without looking different; its looks are
kept as unknown, so that it is read once more.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from pathlib import Path

import msgspec

from darkroom.errors import Problem
from darkroom.log.journal import find, read
from darkroom.log.store import paths

FileState = tuple[int, int, int]
"""(size in bytes, time of change in ns, inode); UNKNOWN when it is to be read again in any case."""

UNKNOWN: FileState = (-1, 0, 0)
MOMENT_NS = 50_000_000
"""The clock of a file system ticks at least this often: 4 to 10 ms on Linux, common practice, no source."""


class Group(msgspec.Struct):
    """The files of one plate, the first first, each with its looks."""

    shelf: str
    plate: str
    files: list[tuple[Path, FileState]]


class Folder(msgspec.Struct, frozen=True):
    """A day's folder: which shelf it is on, and when a name in it last changed (ns, -1 unknown)."""

    shelf: str
    path: Path
    changed: int


def key(path: Path) -> str | bytes:
    """Return a path as the catalogue has it: text, or bytes where it is none."""
    name = os.fspath(path)
    try:
        name.encode()
    except UnicodeEncodeError:
        return os.fsencode(name)
    return name


def folders(home: Path, problems: list[Problem]) -> Iterator[Folder]:
    """Yield the day folders of both shelves, oldest first."""
    for shelf in (paths.PLATES, paths.REHEARSALS):
        for day in find.day_folders(home / shelf, None, problems):
            try:
                changed = day.stat().st_mtime_ns
            except OSError as error:
                problems.append(
                    Problem(paths.printable(day), None, None, f"cannot be read: {error.strerror}")
                )
                continue
            yield Folder(shelf, day, changed if time.time_ns() - changed > MOMENT_NS else -1)


def groups(folder: Folder, spilled: dict[str, list[Path]], problems: list[Problem]) -> list[Group]:
    """Return the plates of a day's folder, with the files they have in spill places."""
    found: dict[str, list[tuple[int, int, Path, FileState]]] = {}
    now = time.time_ns()
    try:
        with os.scandir(folder.path) as entries:
            for entry in entries:
                named = read.plate_of_name(entry.name)
                if named is not None and not entry.name.startswith("."):
                    place = (named[1], 0, folder.path / entry.name, _entry_state(entry, now))
                    found.setdefault(named[0], []).append(place)
    except FileNotFoundError:
        return []
    except OSError as error:
        problems.append(
            Problem(paths.printable(folder.path), None, None, f"cannot be read: {error.strerror}")
        )
    for plate in found.keys() & spilled.keys():
        for order, path in enumerate(spilled[plate], 1):
            further = read.plate_of(path)
            found[plate].append((further[1] if further else 1, order, path, file_state(path)))
    return [
        Group(folder.shelf, plate, [(path, seen) for _, _, path, seen in sorted(files)])
        for plate, files in sorted(found.items())
    ]


def _entry_state(entry: os.DirEntry[str], now: int) -> FileState:
    try:
        seen = entry.stat()
    except OSError:
        return UNKNOWN
    if abs(now - seen.st_mtime_ns) < MOMENT_NS:
        return UNKNOWN
    return seen.st_size, seen.st_mtime_ns, seen.st_ino


def file_state(path: Path) -> FileState:
    """Return how a file looks from outside now."""
    try:
        seen = path.stat()
    except OSError:
        return UNKNOWN
    if abs(time.time_ns() - seen.st_mtime_ns) < MOMENT_NS:
        return UNKNOWN
    return seen.st_size, seen.st_mtime_ns, seen.st_ino


def spilled_files() -> dict[str, list[Path]]:
    """Return the journals in this user's spill places, by plate."""
    found: dict[str, list[Path]] = {}
    for folder in read.spill_folders():
        for name in read.names_in(folder):
            named = read.plate_of(Path(name))
            if named is not None:
                found.setdefault(named[0], []).append(folder / name)
    return found


def alone(home: Path, known: set[str], spilled: dict[str, list[Path]]) -> list[Group]:
    """Return the plates of this log that lie in a spill place and nowhere else."""
    if not spilled.keys() - known:
        return []
    found = []
    for shelf in (paths.PLATES, paths.REHEARSALS):
        for first in find.spilled_plates(home, known, shelf == paths.REHEARSALS):
            named = read.plate_of(first)
            assert named is not None
            files = [(path, file_state(path)) for path in read.files_of(first)]
            found.append(Group(shelf, named[0], files))
    return found
