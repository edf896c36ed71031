"""The names of journals in their folders: which plate and file a name is, and where files of a plate lie.

No journal is opened, and no kind of event is known here: what only looks names up starts without them.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from darkroom.errors import Problem
from darkroom.late_patterns import late_pattern
from darkroom.log.store import durable, paths
from darkroom.log.store.paths import printable

MOST_FOLDERS = 16
"""A `FolderCache` holds the names of about so many folders at a time: plates come day by day."""
_NAME = late_pattern(r"(?P<plate>[^.]+)(?:\.(?P<k>[0-9]{1,6}))?\.jsonl")
_YEAR, _DAY = late_pattern(r"\d{4}"), late_pattern(r"\d{4}-\d{2}-\d{2}")


class JournalName(NamedTuple):
    """What the name of a journal says: the id of the plate, and the number `k` of the file, from 1."""

    plate: str
    k: int


def plate_of(path: Path) -> JournalName | None:
    """Return the plate and the file's number from a journal's path, or None when it is no journal."""
    return plate_of_name(path.name)


def plate_of_name(name: str) -> JournalName | None:
    """Return the plate and the file's number from a file's name, or None when it is no journal.

    The plate's id is text even where a copy of the file has a name that is none.
    """
    match = _NAME.fullmatch(name)
    if match is None:
        return None
    plate = match["plate"]
    return JournalName(plate if plate.isascii() else printable(Path(plate)), int(match["k"] or 1))


class FolderCache:
    """The names of the journals in folders; each folder is read once while many plates are read.

    It does not see later changes: make a new one for each pass over the log.
    """

    def __init__(self) -> None:
        """Find the spill places; no folder is read yet."""
        self.spill_folders = spill_folders()
        self._folders: dict[Path, dict[str, list[tuple[int, Path]]]] = {}

    def journals(self, folder: Path, plate: str) -> list[tuple[int, Path]]:
        """Return (number of the file, path) of a plate's files in a folder."""
        if folder not in self._folders:
            if len(self._folders) > MOST_FOLDERS:
                self._folders.clear()
            by_plate = self._folders[folder] = {}
            for name in names_in(folder):
                journal_name = plate_of_name(name)
                if journal_name is not None:
                    by_plate.setdefault(journal_name.plate, []).append((journal_name.k, folder / name))
        return self._folders[folder].get(plate, [])


def files_of(path: Path, folder_cache: FolderCache | None = None) -> list[Path]:
    """Return the files of the plate that `path` belongs to: its folder's, then the spilled ones."""
    journal_name = plate_of(path)
    if journal_name is None:
        return [path]
    folder_cache = folder_cache or FolderCache()
    files: list[tuple[int, int, Path]] = []
    for place, folder in enumerate((path.parent, *folder_cache.spill_folders)):
        if place == 0 or folder != path.parent:
            files += [(k, place, file) for k, file in folder_cache.journals(folder, journal_name.plate)]
    if not any(file == path for _, _, file in files):
        files.append((journal_name.k, 0, path))
    return [file for _, _, file in sorted(files)]


def spill_folders() -> list[Path]:
    """Return the spill places that are this user's own, and that of the last lines."""
    return [folder for folder in paths.last_places() if durable.is_own(folder)]


def names_in(folder: Path) -> list[str]:
    """Return the names in a folder, none of one that cannot be read."""
    try:
        with os.scandir(folder) as found:
            return [entry.name for entry in found]
    except OSError:
        return []


def entries(folder: Path, problems: list[Problem]) -> list[Path]:
    """Return the paths in a folder, without hidden ones; what keeps it from being read is added."""
    try:
        with os.scandir(folder) as found:
            return [folder / entry.name for entry in found if not entry.name.startswith(".")]
    except FileNotFoundError:
        return []
    except OSError as error:
        problems.append(Problem(printable(folder), None, None, f"cannot be read: {error.strerror}"))
        return []


def day_folders(root: Path, since: str | None, problems: list[Problem]) -> Iterator[Path]:
    """Yield the folders of days under `root`, oldest first, from the day `since` (YYYY-MM-DD) on."""
    for year in sorted(entries(root, problems)):
        if not _YEAR.fullmatch(year.name) or (since is not None and year.name < since[:4]):
            continue
        for day in sorted(entries(year, problems)):
            if _DAY.fullmatch(day.name) and (since is None or day.name >= since):
                yield day
