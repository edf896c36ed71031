"""Which journals there are, and the state of each file: size, time of change, inode. Nothing is opened.

A file that changed a moment ago may change again with the same state; its state counts as unknown, so that
it is read once more.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from operator import attrgetter
from pathlib import Path
from typing import NamedTuple

import msgspec

from darkroom.errors import Problem
from darkroom.log.journal import journal_names
from darkroom.log.store import paths

FileState = tuple[int, int, int]
"""(size in bytes, time of change in ns, inode); UNKNOWN when it is to be read again in any case."""

Spilled = dict[str, list[Path]]
"""The journals in spill places, by plate."""
UNKNOWN: FileState = (-1, 0, 0)
UNKNOWN_TIME = -1
"""Stands for the time of change of a folder that changed a moment ago."""
MOMENT_NS = 50_000_000
"""The clock of a file system ticks at least this often: 4 to 10 ms on Linux, common practice, no source."""
COARSE_MOMENT_NS = 2_000_000_000
"""The same where times are whole seconds: FAT keeps them in steps of two seconds (its specification, from
memory)."""
_SECOND_NS = 1_000_000_000
_STATE = attrgetter("st_size", "st_mtime_ns", "st_ino")


class JournalGroup(msgspec.Struct):
    """The files of one plate, the first file first, each with its state.

    `collection` is `plates` or `rehearsals`.
    """

    collection: str
    plate: str
    files: list[tuple[Path, FileState]]


Due = tuple[str | bytes, JournalGroup]
"""The folder of a plate that is to be read, and its files."""


class FolderLook(NamedTuple):
    """The names in a folder, and the state of each as it is now, never UNKNOWN."""

    names: tuple[str, ...]
    states: tuple[FileState, ...]

    @property
    def is_settled(self) -> bool:
        """Whether every later change of a file shows in its state."""
        now = time.time_ns()
        return not any(_is_of_this_moment(changed, now) for _, changed, _ in self.states)


class Folder(msgspec.Struct, frozen=True):
    """A day's folder of a collection, and when a name in it last changed (ns or UNKNOWN_TIME)."""

    collection: str
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
    """Yield the day folders of both collections, oldest first."""
    for collection in (paths.PLATES, paths.REHEARSALS):
        for day in journal_names.day_folders(home / collection, None, problems):
            found = folder(collection, day, problems)
            if found is not None:
                yield found


def folder(collection: str, day: Path, problems: list[Problem]) -> Folder | None:
    """Return a day's folder as it is now, None where it cannot be looked at: the reason is added."""
    try:
        changed = day.stat().st_mtime_ns
    except OSError as error:
        problems.append(Problem(paths.printable(day), None, None, f"cannot be read: {error.strerror}"))
        return None
    is_unknown = _is_of_this_moment(changed, time.time_ns())
    return Folder(collection, day, UNKNOWN_TIME if is_unknown else changed)


def _is_of_this_moment(changed: int, now: int) -> bool:
    """Whether a file that changed then (ns) may change once more without another time of change."""
    return abs(now - changed) < (MOMENT_NS if changed % _SECOND_NS else COARSE_MOMENT_NS)


def look(folder: Path) -> FolderLook | None:
    """Return what a folder holds, None where it or a file in it cannot be looked at. As fast as can be."""
    try:
        if os.scandir not in os.supports_fd:
            with os.scandir(folder) as found:
                return _look(found)
        fd = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)  # a name in an open folder is looked up faster
        try:
            with os.scandir(fd) as found:
                return _look(found)
        finally:
            os.close(fd)
    except OSError:
        return None


def _look(found: Iterator[os.DirEntry[str]]) -> FolderLook:
    entries = list(found)
    return FolderLook(
        tuple([entry.name for entry in entries]), tuple(map(_STATE, map(os.DirEntry.stat, entries)))
    )


def groups(folder: Folder, spilled: Spilled, problems: list[Problem]) -> list[JournalGroup]:
    """Return the plates of a day's folder, with the files they have in spill places."""
    files_by_plate: dict[str, list[tuple[int, int, Path, FileState]]] = {}
    now = time.time_ns()
    try:
        with os.scandir(folder.path) as entries:
            for entry in entries:
                journal_name = journal_names.plate_of_name(entry.name)
                if journal_name is not None and not entry.name.startswith("."):
                    place = (journal_name.k, 0, folder.path / entry.name, _entry_state(entry, now))
                    files_by_plate.setdefault(journal_name.plate, []).append(place)
    except FileNotFoundError:
        return []
    except OSError as error:
        problems.append(
            Problem(paths.printable(folder.path), None, None, f"cannot be read: {error.strerror}")
        )
    for plate in files_by_plate.keys() & spilled.keys():
        for order, path in enumerate(spilled[plate], 1):
            spilled_name = journal_names.plate_of(path)
            files_by_plate[plate].append(
                (spilled_name.k if spilled_name else 1, order, path, file_state(path))
            )
    return [
        JournalGroup(folder.collection, plate, [(path, state) for _, _, path, state in sorted(files)])
        for plate, files in sorted(files_by_plate.items())
    ]


def _entry_state(entry: os.DirEntry[str], now: int) -> FileState:
    try:
        status = entry.stat()
    except OSError:
        return UNKNOWN
    if _is_of_this_moment(status.st_mtime_ns, now):
        return UNKNOWN
    return status.st_size, status.st_mtime_ns, status.st_ino


def file_state(path: Path | str | bytes) -> FileState:
    """Return the state of a file now."""
    try:
        status = os.stat(path)
    except OSError:
        return UNKNOWN
    if _is_of_this_moment(status.st_mtime_ns, time.time_ns()):
        return UNKNOWN
    return status.st_size, status.st_mtime_ns, status.st_ino


def spilled_files() -> Spilled:
    """Return the journals in this user's spill places, by plate."""
    files_by_plate: Spilled = {}
    for folder in journal_names.spill_folders():
        for name in journal_names.names_in(folder):
            journal_name = journal_names.plate_of(Path(name))
            if journal_name is not None:
                files_by_plate.setdefault(journal_name.plate, []).append(folder / name)
    return files_by_plate


def spilled_only(home: Path, known: set[str], spilled: Spilled) -> list[JournalGroup]:
    """Return the plates of this log that lie in a spill place and nowhere else."""
    if not spilled.keys() - known:
        return []
    from darkroom.log.journal.find import spilled_plates  # which reads first lines; seldom wanted

    groups = []
    for collection in (paths.PLATES, paths.REHEARSALS):
        for first in spilled_plates(home, known, collection == paths.REHEARSALS):
            journal_name = journal_names.plate_of(first)
            assert journal_name is not None
            files = [(path, file_state(path)) for path in journal_names.files_of(first)]
            groups.append(JournalGroup(collection, journal_name.plate, files))
    return groups
