"""What the catalogue knows of the files it was read from, compared with a folder as it is now."""

from __future__ import annotations

import os
from collections.abc import Container, Iterable
from pathlib import Path
from typing import Any

from darkroom.log.catalogue import disk_state, row_totals
from darkroom.log.catalogue.database import CatalogueFile, repairing
from darkroom.log.catalogue.disk_state import key
from darkroom.log.journal.journal_names import plate_of_name


class KnownFiles(CatalogueFile):
    """The tables `files` and `folders` of the catalogue."""

    def __init__(self, home: Path) -> None:
        """Open or create it; no journal is read yet."""
        self._looks: dict[str | bytes, int] = {}
        """{folder: hash of the `FolderLook` at which all in it was as the tables tell}.

        Whoever takes rows of a folder away takes it out of here."""
        self._looks_version: object = None
        self._counted: object = None
        """The version of the tables in which no plate was lost."""
        super().__init__(home)

    @repairing
    def folder_times(self) -> dict[str | bytes, int]:
        """Return when a name in each day folder last changed, as it is known (ns, -1 unknown)."""
        return dict(self._db.execute("SELECT path, mtime_ns FROM folders"))

    @repairing
    def states_of(self, firsts: Iterable[str | bytes]) -> dict[str | bytes, disk_state.FileState]:
        """Return {file: the state in which it was read} of the plates with these first files."""
        sql = "SELECT path, size, mtime_ns, inode FROM files WHERE first = ?"
        return {
            path: (size, mtime_ns, inode)
            for first in firsts
            for path, size, mtime_ns, inode in self._db.execute(sql, (first,))
        }

    @repairing
    def version(self) -> object:
        """Return what is another one after every writing to the tables that is not this object's own."""
        return self._version()

    def _version(self) -> object:
        return self._db, self._db.execute("PRAGMA data_version").fetchone()[0]

    def check_plates(self) -> None:
        """Look whether a plate is lost, once until others write. Raises sqlite3.DatabaseError."""
        version = self._version()
        if self.path is not None and version != self._counted:
            row_totals.check(self._db, (row_totals.PLATES_IN_ORDER, row_totals.WHOLE_PLATES))
            self._counted = version

    def _is_as_known(self, folder: disk_state.Folder, spilled: Container[str]) -> bool:
        """Whether a folder holds the very files, each in the state, of which the tables tell.

        Never where it holds a file of this moment, one that is no journal, or one of a plate in a spill
        place. What is not known by this is compared plate by plate.
        """
        found = disk_state.look(folder.path)
        if found is None or (spilled and any(_plate_in(name) in spilled for name in found.names)):
            return False
        where = key(folder.path)
        digest = hash(found)
        if self._looks.get(where) == digest:
            return True
        self._looks.pop(where, None)
        if not found.is_settled:
            return False
        sql = "SELECT path, size, mtime_ns, inode FROM files WHERE folder = ?"
        known = set(self._db.execute(sql, (where,)))
        top = os.path.join(folder.path, "")
        if known != {(top + name, *state) for name, state in zip(*found, strict=True)}:
            return False
        self._looks[where] = digest
        return True

    def _forget_looks(self) -> None:
        """Forget how the folders looked if others wrote to the tables since: these are compared anew."""
        version = self._version()
        if version != self._looks_version:
            self._looks.clear()
            self._looks_version = version

    def _known_files(self, folder: str | bytes) -> dict[Any, dict[Any, disk_state.FileState]]:
        """Return {first file: {file: its state}} of a folder."""
        known_files: dict[Any, dict[Any, disk_state.FileState]] = {}
        sql = "SELECT first, path, size, mtime_ns, inode FROM files WHERE folder = ?"
        for first, path, size, mtime_ns, inode in self._db.execute(sql, (folder,)):
            known_files.setdefault(first, {})[path] = (size, mtime_ns, inode)
        return known_files


def _plate_in(name: str) -> str | None:
    journal_name = plate_of_name(name)
    return None if journal_name is None else journal_name.plate
