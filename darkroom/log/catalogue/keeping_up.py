"""Keeps the catalogue up with the journals: reads those that changed, forgets those that are gone."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

from darkroom.log.catalogue import disk_state, last_look
from darkroom.log.catalogue.collector import collector_held
from darkroom.log.catalogue.database import repairing
from darkroom.log.catalogue.disk_state import Due, key
from darkroom.log.catalogue.plate_tables import PlateTables
from darkroom.log.catalogue.row_sums import with_sum
from darkroom.log.catalogue.schema import FOR_CHECKS, FOR_LATELY, FOR_LISTS, TABLES
from darkroom.log.store import changes

if TYPE_CHECKING:
    from darkroom.log.catalogue.fill import Filled

Progress = Callable[[int, int], None]
"""Called with how many plates are read, and of how many."""
NEWEST = 24
"""So many of the newest day folders are looked into at each command."""


class KeptCatalogue(PlateTables):
    """The catalogue as it is filled and kept up; see `CatalogueFile` for where it is kept."""

    @repairing
    def read_changes(self, also: Iterable[str] = ()) -> int:
        """Read the journals that the writers named and the day folders whose names changed; return how many
        plates were read or forgotten.

        Only `check` finds a journal that was changed by hand; the folders of the files in `also` are
        looked at in any case.
        """
        inode, offset = self._changes_read()
        changed_journals, inode, offset = changes.since(self.home, inode, offset)
        if (
            changed_journals is None
            or not self._meta("checked")
            or any(self.home not in path.parents for path in changed_journals)
        ):
            return self.check()
        self.problems = []
        folders_to_look_at = {key(path.parent) for path in (*changed_journals, *map(Path, also))}
        known_folders = dict(self._db.execute("SELECT path, mtime_ns FROM folders"))
        day_folders = list(disk_state.folders(self.home, self.problems))
        folders_to_read = [
            folder
            for folder in day_folders
            if folder.changed < 0
            or known_folders.get(key(folder.path)) != folder.changed
            or key(folder.path) in folders_to_look_at
        ]
        gone = known_folders.keys() - {key(folder.path) for folder in day_folders}
        if not folders_to_read and not gone and (inode, offset) == self._changes_read():
            return 0
        return self._update(folders_to_read, gone, inode, offset)

    @repairing
    def check(
        self, progress: Progress | None = None, helpers: int = 1, tables: Sequence[str] = FOR_LISTS
    ) -> int:
        """Compare the state of every journal's file, read those that differ; return how many
        plates were read or forgotten.

        With more than one of `helpers` a large fill is shared among processes; see `fill.filled`. Every row
        of `tables` is looked at first, and of those that tell of the files.
        """
        began = last_look.now()
        self._look_at((*FOR_CHECKS, *tables))
        _, inode, offset = changes.since(self.home, 0, 0)
        self.problems = []
        day_folders = list(disk_state.folders(self.home, self.problems))
        known_folders = {row[0] for row in self._db.execute("SELECT DISTINCT folder FROM files")}
        return self._update(
            day_folders,
            known_folders - {key(folder.path) for folder in day_folders},
            inode,
            offset,
            began,
            progress,
            helpers,
        )

    @repairing
    def check_within_a_minute(
        self,
        progress: Progress | None = None,
        helpers: int = 1,
        tables: Sequence[str] = FOR_LISTS,
        now: last_look.LastLook | None = None,
    ) -> int:
        """Do what `check` does, unless one that began less than a minute before `now` still holds.

        All shows at once but a line that another program than ours adds to a plate of long ago.
        """
        if not self._is_lately_checked(now or last_look.now()):
            return self.check(progress, helpers, tables)
        self._look_at(tables)
        return 0

    def _is_lately_checked(self, now: last_look.LastLook) -> bool:
        """Whether the last check holds at `now`, met no trouble and would find the same again.

        Since then no writer gave a hint, no name changed in a day folder and nothing was spilled; the newest
        folders are looked into in any case.
        """
        self._look_at(FOR_LATELY)
        if not last_look.holds(self._meta("looked"), now):
            return False
        if disk_state.spilled_files() or changes.since(self.home, *self._changes_read())[0] != []:
            return False
        self.problems = []
        day_folders = list(disk_state.folders(self.home, self.problems))
        known_times = dict(self._db.execute("SELECT path, mtime_ns FROM folders"))
        if self.problems or known_times != {key(folder.path): folder.changed for folder in day_folders}:
            return False
        if disk_state.UNKNOWN_TIME in known_times.values():
            return False
        newest = sorted(day_folders, key=lambda folder: folder.path.name, reverse=True)[:NEWEST]
        return self._due(newest, False, {}) == ([], []) and not self.problems

    def rebuild(self, progress: Progress | None = None, helpers: int = 1) -> int:
        """Delete all rows and read every journal; return how many plates there are."""
        import sqlite3

        self._looks.clear()
        try:
            with self._transaction():
                for table in TABLES:
                    self._db.execute(f"DELETE FROM {table}")
        except (sqlite3.DatabaseError, UnicodeDecodeError):
            self._replace()
        return self.check(progress, helpers)

    @repairing
    def look_into(self, folders: list[disk_state.Folder], spilled: disk_state.Spilled) -> int:
        """Compare the state of the files in some day folders, read those that differ; return how many plates
        were read or forgotten.

        `spilled` are the journals in spill places, of a moment ago.
        """
        due, lost = self._due(folders, False, spilled)
        return self._update(folders, (), *self._changes_read()) if due or lost else 0

    def _update(
        self,
        folders: list[disk_state.Folder],
        gone: Iterable[str | bytes],
        inode: int,
        offset: int,
        began: last_look.LastLook | None = None,
        progress: Progress | None = None,
        helpers: int = 1,
    ) -> int:
        """Read what is due in these folders. A check of all of them says when it `began`."""
        whole = began is not None
        due, lost = self._due(folders, whole)
        self._forget(lost)
        self._forget_folders(set(gone) - {b"spilled"})
        done = 0
        with closing(_filled(due, helpers)) as batches:
            while read := self._put_next(batches):
                done += read
                if progress is not None:
                    progress(done, len(due))
        with self._transaction():
            self._db.executemany(
                "INSERT OR REPLACE INTO folders VALUES (?, ?, ?)",
                [with_sum((key(folder.path), folder.changed)) for folder in folders],
            )
            self._set_meta("changed", f"{inode} {offset}")
            if began is not None:
                self._set_meta("checked", "1")
                self._set_meta("looked", "" if self.problems else last_look.as_text(began))
        return len(due) + len(lost)

    def _due(
        self, folders: list[disk_state.Folder], whole: bool, spilled: disk_state.Spilled | None = None
    ) -> tuple[list[Due], list[Any]]:
        """Return the plates whose files differ from the known ones, and the first files of lost plates."""
        due: list[Due] = []
        lost: list[Any] = []
        self._forget_looks()
        for where, groups in self._groups(folders, whole, spilled):
            if groups is None:
                continue
            known = self._known_files(where)
            due += ((where, group) for group in groups if self._differs(known, group))
            lost += known.keys() - {key(group.files[0][0]) for group in groups}
        return due, lost

    def _groups(
        self, folders: list[disk_state.Folder], whole: bool, spilled: disk_state.Spilled | None
    ) -> Iterator[tuple[str | bytes, list[disk_state.JournalGroup] | None]]:
        """Yield (folder, its plates or None where all is as it is known), one in memory at a time.

        Last come those in a spill place alone.
        """
        if spilled is None:
            spilled = disk_state.spilled_files()
        at_home: set[str] = set()
        # In a new catalogue no folder is as it is known.
        has_known = not whole or self._db.execute("SELECT EXISTS (SELECT 1 FROM files)").fetchone() == (1,)
        for folder in folders:
            if has_known and self._is_as_known(folder, spilled):
                yield key(folder.path), None
                continue
            groups = disk_state.groups(folder, spilled, self.problems)
            at_home.update(group.plate for group in groups if group.plate in spilled)
            yield key(folder.path), groups
        if whole:
            yield b"spilled", disk_state.spilled_only(self.home, at_home, spilled)

    @staticmethod
    def _differs(known: dict[Any, dict[Any, disk_state.FileState]], group: disk_state.JournalGroup) -> bool:
        current = {key(path): seen for path, seen in group.files}
        return disk_state.UNKNOWN in current.values() or known.get(key(group.files[0][0])) != current

    def _put_next(self, batches: Iterator[list[Filled]]) -> int:
        """Put the plates of the next batch in; return how many they are, 0 behind the last."""
        with collector_held():
            batch = next(batches, [])
            if batch:
                self._put(batch)
            read = len(batch)
            del batch  # the collector would look at every row of it
        return read


def _filled(due: list[Due], helpers: int) -> Generator[list[Filled], None, None]:
    """Read the groups that are due. The reader is imported only then: mostly nothing is due."""
    if due:
        from darkroom.log.catalogue.fill import filled

        yield from filled(due, helpers)
