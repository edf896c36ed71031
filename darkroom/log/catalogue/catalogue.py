"""A rebuildable index of the log for review: one row a plate, one row a stage.

The journals are the truth. The catalogue is filled from them by the bench's own fold, keyed by each
file's size, time of change and inode; deleting it loses nothing, and a damaged one is filled anew. Several
programs may use it at once; a `Catalogue` belongs to the thread that opened it.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from darkroom.errors import AmbiguousPlate, NothingFound, Problem
from darkroom.log.catalogue import disk_state
from darkroom.log.catalogue.database import CatalogueFile, Row, repairing
from darkroom.log.catalogue.disk_state import key
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.schema import CONTENT, TABLES
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.store import changes
from darkroom.log.store.paths import printable

if TYPE_CHECKING:
    from darkroom.log.catalogue.fill import Filled


AT_ONCE = 500
"""The faults of so many plates are selected at once; older SQLite takes at most 999 values."""
Progress = Callable[[int, int], None]
"""Called with how many plates are read, and of how many."""


class Catalogue(CatalogueFile):
    """The index of the log in `home`; see `CatalogueFile` for where it is kept."""

    # --- keeping up ------------------------------------------------------------------------------

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
    def check(self, progress: Progress | None = None, helpers: int = 1) -> int:
        """Compare the state of every journal's file, read those that differ; return how many
        plates were read or forgotten.

        With more than one of `helpers` a large fill is shared among processes; see `fill.filled`.
        """
        _, inode, offset = changes.since(self.home, 0, 0)
        self.problems = []
        day_folders = list(disk_state.folders(self.home, self.problems))
        known_folders = {row[0] for row in self._db.execute("SELECT DISTINCT folder FROM files")}
        return self._update(
            day_folders,
            known_folders - {key(folder.path) for folder in day_folders},
            inode,
            offset,
            True,
            progress,
            helpers,
        )

    def rebuild(self, progress: Progress | None = None, helpers: int = 1) -> int:
        """Delete all rows and read every journal; return how many plates there are."""
        with self._transaction():
            for table in TABLES:
                self._db.execute(f"DELETE FROM {table}")
        return self.check(progress, helpers)

    def _update(
        self,
        folders: list[disk_state.Folder],
        gone: Iterable[str | bytes],
        inode: int,
        offset: int,
        whole: bool = False,
        progress: Progress | None = None,
        helpers: int = 1,
    ) -> int:
        due: list[tuple[str | bytes, disk_state.JournalGroup]] = []
        lost: list[Any] = []
        for where, groups in self._groups(folders, whole):
            known = self._known_files(where)
            due += ((where, group) for group in groups if self._differs(known, group))
            lost += known.keys() - {key(group.files[0][0]) for group in groups}
        self._forget(lost)
        self._forget_folders(set(gone) - {b"spilled"})
        done = 0
        for batch in _filled(due, helpers):
            self._put(batch)
            done += len(batch)
            if progress is not None:
                progress(done, len(due))
        with self._transaction():
            self._db.executemany(
                "INSERT OR REPLACE INTO folders VALUES (?, ?)",
                [(key(folder.path), folder.changed) for folder in folders],
            )
            self._set_meta("changed", f"{inode} {offset}")
            if whole:
                self._set_meta("checked", "1")
        return len(due) + len(lost)

    def _groups(
        self, folders: list[disk_state.Folder], whole: bool
    ) -> Iterator[tuple[str | bytes, list[disk_state.JournalGroup]]]:
        """Yield (folder, its plates), one in memory at a time; last those in a spill place alone."""
        spilled = disk_state.spilled_files()
        at_home: set[str] = set()
        for folder in folders:
            groups = disk_state.groups(folder, spilled, self.problems)
            at_home.update(group.plate for group in groups if group.plate in spilled)
            yield key(folder.path), groups
        if whole:
            yield b"spilled", disk_state.spilled_only(self.home, at_home, spilled)

    def _known_files(self, folder: str | bytes) -> dict[Any, dict[Any, disk_state.FileState]]:
        """Return {first file: {file: its state}} of a folder."""
        known_files: dict[Any, dict[Any, disk_state.FileState]] = {}
        sql = "SELECT first, path, size, mtime_ns, inode FROM files WHERE folder = ?"
        for first, path, size, mtime_ns, inode in self._db.execute(sql, (folder,)):
            known_files.setdefault(first, {})[path] = (size, mtime_ns, inode)
        return known_files

    @staticmethod
    def _differs(known: dict[Any, dict[Any, disk_state.FileState]], group: disk_state.JournalGroup) -> bool:
        current = {key(path): seen for path, seen in group.files}
        return disk_state.UNKNOWN in current.values() or known.get(key(group.files[0][0])) != current

    def _put(self, batch: list[Filled]) -> None:
        try:
            self._insert(batch)
        except (UnicodeEncodeError, OverflowError):  # a text or a number that SQLite has no place for
            from darkroom.log.catalogue.fill import storable

            self._insert(storable(batch))

    def _insert(self, batch: list[Filled]) -> None:
        with self._transaction():
            self._delete([filled_plate.first for filled_plate in batch if self._is_known(filled_plate.first)])
            for table in (*CONTENT, "files"):
                rows = [row for filled_plate in batch for row in filled_plate.tables[table]]
                if rows:
                    placeholders = ", ".join("?" * len(rows[0]))
                    self._db.executemany(f"INSERT OR REPLACE INTO {table} VALUES ({placeholders})", rows)

    def _is_known(self, first: Any) -> bool:
        """Whether the plate of this first file has rows in the tables."""
        return self._db.execute("SELECT 1 FROM plates WHERE path = ?", (first,)).fetchone() is not None

    def _delete(self, firsts: list[Any]) -> None:
        for table in ("plates", "stages", "readings", "faults", "problems"):
            self._db.executemany(f"DELETE FROM {table} WHERE path = ?", [(first,) for first in firsts])
        self._db.executemany("DELETE FROM files WHERE first = ?", [(first,) for first in firsts])

    def _forget(self, firsts: list[Any]) -> None:
        if firsts:
            with self._transaction():
                self._delete(firsts)
                self._forget_processes()

    def _forget_folders(self, gone: set[Any]) -> None:
        if not gone:
            return
        with self._transaction():
            for folder in gone:
                sql = "SELECT DISTINCT first FROM files WHERE folder = ?"
                self._delete([first for (first,) in self._db.execute(sql, (folder,)).fetchall()])
                self._db.execute("DELETE FROM folders WHERE path = ?", (folder,))
            self._forget_processes()

    def _forget_processes(self) -> None:
        self._db.execute(
            "DELETE FROM processes WHERE sum NOT IN (SELECT process_sum FROM plates "
            "WHERE process_sum IS NOT NULL)"
        )

    # --- asking ----------------------------------------------------------------------------------

    def select(self, sql: str, values: Iterable[object] = ()) -> Iterator[Any]:
        """Yield the rows of an SQL query. Raises sqlite3.DatabaseError: see `repairing`."""
        return iter(self._db.execute(sql, tuple(values)))

    @repairing
    def count(self, query: Query | None = None) -> int:
        """Return how many plates answer."""
        where, values = (query or Query()).where()
        return int(self._db.execute(f"SELECT count(*) FROM plates WHERE {where}", values).fetchone()[0])

    @repairing
    def plates(self, query: Query | None = None, limit: int = -1, offset: int = 0) -> list[Row]:
        """Return a page of the plates that answer, as {column: value}; see `PLATE_COLUMNS`.

        Each has its `faults` too, a list of `JudgedFault` in the order of the journal.
        """
        query = query or Query()
        where, values = query.where()
        sql = f"SELECT * FROM plates WHERE {where} ORDER BY {query.order_by()} LIMIT ? OFFSET ?"
        rows = self._rows(sql, [*values, limit, offset])
        self._add_faults(rows)
        return rows

    def _add_faults(self, rows: list[Row]) -> None:
        by_path: dict[Any, list[JudgedFault]] = {row["path"]: [] for row in rows}
        all_paths = list(by_path)
        for start in range(0, len(all_paths), AT_ONCE):
            paths = all_paths[start : start + AT_ONCE]
            placeholders = ", ".join("?" * len(paths))
            sql = (
                f"SELECT path, name, place FROM faults WHERE path IN ({placeholders}) ORDER BY path, position"
            )
            for path, name, place in self._db.execute(sql, paths):
                by_path[path].append(JudgedFault(str(name), None if place is None else str(place)))
        for row in rows:
            row["faults"] = by_path[row["path"]]

    @repairing
    def stages(self, query: Query | None = None, ends: str | None = None) -> list[Row]:
        """Return the stages of the plates that answer, oldest plate first; all, or those that end so.

        Each is a row of `STAGE_COLUMNS` with its plate's `plate`, `number`, `process`, `process_sum` and
        `fixer`.
        """
        where, values = (query or Query()).where()
        return self._rows(
            "SELECT stages.*, plates.plate, plates.number, plates.process, plates.process_sum, "
            f"plates.fixer FROM plates JOIN stages USING (path) WHERE {where} AND (? IS NULL OR ends = ?) "
            "ORDER BY plates.plate, path, position",
            [*values, ends, ends],
        )

    @repairing
    def problem_count(self) -> int:
        """Return how many problems the journals of the log have."""
        return int(self._db.execute("SELECT count(*) FROM problems").fetchone()[0])

    @property
    def whole(self) -> bool:
        """Whether every journal was looked at since the catalogue was begun."""
        return bool(self._meta("checked"))

    @repairing
    def problems_of(self, query: Query | None = None) -> list[Problem]:
        """Return what is wrong with the journals of the plates that answer, and with the folders."""
        where, values = (query or Query()).where()
        rows = self._rows(
            "SELECT file, line, key, what FROM plates JOIN problems USING (path) "
            f"WHERE {where} ORDER BY plates.plate DESC, problems.rowid",
            values,
        )
        return [*self.problems, *(Problem(**row) for row in rows)]

    @repairing
    def process(self, process_sum: str) -> str | None:
        """Return a process as it was then, as JSON, by the `process_sum` of its plates."""
        row = self._db.execute("SELECT body FROM processes WHERE sum = ?", (process_sum,)).fetchone()
        return None if row is None else str(row[0])

    @repairing
    def find(self, word: str, rehearsals: bool = False) -> Path:
        """Return the first file of the plate that `word` names: an id, a unique start of one, or a number.

        Raises AmbiguousPlate with the list when several answer, NothingFound when none does.
        """
        word = word.strip()
        collection = "rehearsals" if rehearsals else "plates"
        sql = "SELECT path, plate, number, process FROM plates WHERE shelf = ? AND "
        rows = self._rows(sql + "plate = ?", [collection, word])
        if not rows and word.isdecimal() and word.isascii() and len(word) < 10:
            rows = self._rows(sql + "number = ? ORDER BY plate", [collection, int(word)])
        if not rows and word:
            rows = self._rows(sql + "substr(plate, 1, ?) = ? ORDER BY plate", [collection, len(word), word])
        if not rows:
            kind = "rehearsal" if rehearsals else "plate"
            raise NothingFound(f"no {kind} '{word}' in {printable(self.home)}")
        if len(rows) > 1:
            choices = [f"  {row['plate']}  number {row['number']}, {row['process']}" for row in rows]
            raise AmbiguousPlate(f"several plates answer to '{word}':\n" + "\n".join(choices))
        return Path(os.fsdecode(rows[0]["path"]))

    def content(self) -> dict[str, list[tuple[Any, ...]]]:
        """Return the sorted rows of the tables in `CONTENT`, by table: to compare two catalogues."""
        return {
            table: sorted(self._db.execute(f"SELECT * FROM {table}").fetchall(), key=repr)
            for table in CONTENT
        }


def _filled(due: list[tuple[str | bytes, disk_state.JournalGroup]], helpers: int) -> Iterable[list[Filled]]:
    """Read the groups that are due. The reader is imported only then: mostly nothing is due."""
    if not due:
        return ()
    from darkroom.log.catalogue.fill import filled

    return filled(due, helpers)
