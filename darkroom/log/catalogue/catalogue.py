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
from darkroom.log.catalogue.database import CatalogueFile, Row, mended
from darkroom.log.catalogue.disk_state import key
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.schema import CONTENT, TABLES
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.store import changes
from darkroom.log.store.paths import printable

if TYPE_CHECKING:
    from darkroom.log.catalogue.fill import Filled


AT_ONCE = 500
"""So many plates' faults are asked for in one question; older SQLite takes at most 999 values."""
Progress = Callable[[int, int], None]
"""Told how many plates are read, of how many."""


class Catalogue(CatalogueFile):
    """The index of the log in `home`; see `CatalogueFile` for where it is kept."""

    # --- keeping up ------------------------------------------------------------------------------

    @mended
    def look(self, also: Iterable[str] = ()) -> int:
        """Take in what the writers told of and the day folders whose names changed; return how many plates.

        A journal written to by hand alone is found by `check`, or when `also` names it: the folders of
        those files are looked at in any case.
        """
        inode, offset = self._told()
        told, inode, offset = changes.since(self.home, inode, offset)
        if told is None or not self._meta("checked") or any(self.home not in path.parents for path in told):
            return self.check()
        self.problems = []
        dirty = {key(path.parent) for path in (*told, *map(Path, also))}
        known = dict(self._db.execute("SELECT path, mtime_ns FROM folders"))
        found = list(disk_state.folders(self.home, self.problems))
        some = [
            one
            for one in found
            if one.changed < 0 or known.get(key(one.path)) != one.changed or key(one.path) in dirty
        ]
        gone = known.keys() - {key(one.path) for one in found}
        if not some and not gone and (inode, offset) == self._told():
            return 0
        return self._take_in(some, gone, inode, offset)

    @mended
    def check(self, progress: Progress | None = None, helpers: int = 1) -> int:
        """Look at every journal from outside, read those that look different; return how many there were.

        With more than one of `helpers` a long work is shared among processes; see `fill.filled`.
        """
        _, inode, offset = changes.since(self.home, 0, 0)
        self.problems = []
        found = list(disk_state.folders(self.home, self.problems))
        known = {row[0] for row in self._db.execute("SELECT DISTINCT folder FROM files")}
        return self._take_in(
            found, known - {key(one.path) for one in found}, inode, offset, True, progress, helpers
        )

    def rebuild(self, progress: Progress | None = None, helpers: int = 1) -> int:
        """Throw everything away and read every journal; return how many plates there are."""
        with self._turn():
            for table in TABLES:
                self._db.execute(f"DELETE FROM {table}")
        return self.check(progress, helpers)

    def _take_in(
        self,
        folders: list[disk_state.Folder],
        gone: Iterable[str | bytes],
        inode: int,
        offset: int,
        whole: bool = False,
        progress: Progress | None = None,
        helpers: int = 1,
    ) -> int:
        due: list[tuple[str | bytes, disk_state.Group]] = []
        lost: list[Any] = []
        for where, groups in self._groups(folders, whole):
            known = self._known_files(where)
            due += ((where, one) for one in groups if self._differs(known, one))
            lost += known.keys() - {key(one.files[0][0]) for one in groups}
        self._forget(lost)
        self._forget_folders(set(gone) - {b"spilled"})
        done = 0
        for batch in _filled(due, helpers):
            self._put(batch)
            done += len(batch)
            if progress is not None:
                progress(done, len(due))
        with self._turn():
            self._db.executemany(
                "INSERT OR REPLACE INTO folders VALUES (?, ?)",
                [(key(one.path), one.changed) for one in folders],
            )
            self._set_meta("changed", f"{inode} {offset}")
            if whole:
                self._set_meta("checked", "1")
        return len(due) + len(lost)

    def _groups(
        self, folders: list[disk_state.Folder], whole: bool
    ) -> Iterator[tuple[str | bytes, list[disk_state.Group]]]:
        """Yield (folder, its plates), one in memory at a time; last those in a spill place alone."""
        spilled = disk_state.spilled_files()
        at_home: set[str] = set()
        for folder in folders:
            groups = disk_state.groups(folder, spilled, self.problems)
            at_home.update(one.plate for one in groups if one.plate in spilled)
            yield key(folder.path), groups
        if whole:
            yield b"spilled", disk_state.alone(self.home, at_home, spilled)

    def _known_files(self, folder: str | bytes) -> dict[Any, dict[Any, disk_state.FileState]]:
        """Return {first file: {file: looks}} of a folder."""
        found: dict[Any, dict[Any, disk_state.FileState]] = {}
        asked = "SELECT first, path, size, mtime_ns, inode FROM files WHERE folder = ?"
        for first, path, size, mtime_ns, inode in self._db.execute(asked, (folder,)):
            found.setdefault(first, {})[path] = (size, mtime_ns, inode)
        return found

    @staticmethod
    def _differs(known: dict[Any, dict[Any, disk_state.FileState]], group: disk_state.Group) -> bool:
        now = {key(path): seen for path, seen in group.files}
        return disk_state.UNKNOWN in now.values() or known.get(key(group.files[0][0])) != now

    def _put(self, batch: list[Filled]) -> None:
        try:
            self._insert(batch)
        except (UnicodeEncodeError, OverflowError):  # a text or a number that SQLite has no place for
            from darkroom.log.catalogue.fill import tamed

            self._insert(tamed(batch))

    def _insert(self, batch: list[Filled]) -> None:
        with self._turn():
            self._delete([one.first for one in batch if self._is_known(one.first)])
            for table in (*CONTENT, "files"):
                rows = [row for one in batch for row in one.tables[table]]
                if rows:
                    holes = ", ".join("?" * len(rows[0]))
                    self._db.executemany(f"INSERT OR REPLACE INTO {table} VALUES ({holes})", rows)

    def _is_known(self, first: Any) -> bool:
        """Whether the plate of this first file has rows: it has one of its own whenever it has any."""
        return self._db.execute("SELECT 1 FROM plates WHERE path = ?", (first,)).fetchone() is not None

    def _delete(self, firsts: list[Any]) -> None:
        for table in ("plates", "stages", "readings", "faults", "problems"):
            self._db.executemany(f"DELETE FROM {table} WHERE path = ?", [(first,) for first in firsts])
        self._db.executemany("DELETE FROM files WHERE first = ?", [(first,) for first in firsts])

    def _forget(self, firsts: list[Any]) -> None:
        if firsts:
            with self._turn():
                self._delete(firsts)
                self._forget_processes()

    def _forget_folders(self, gone: set[Any]) -> None:
        if not gone:
            return
        with self._turn():
            for folder in gone:
                asked = "SELECT DISTINCT first FROM files WHERE folder = ?"
                self._delete([first for (first,) in self._db.execute(asked, (folder,)).fetchall()])
                self._db.execute("DELETE FROM folders WHERE path = ?", (folder,))
            self._forget_processes()

    def _forget_processes(self) -> None:
        self._db.execute(
            "DELETE FROM processes WHERE sum NOT IN (SELECT process_sum FROM plates "
            "WHERE process_sum IS NOT NULL)"
        )

    # --- asking ----------------------------------------------------------------------------------

    def select(self, question: str, values: Iterable[object] = ()) -> Iterator[Any]:
        """Yield the rows that answer a question in SQL. Raises sqlite3.DatabaseError: see `mended`."""
        return iter(self._db.execute(question, tuple(values)))

    @mended
    def count(self, query: Query | None = None) -> int:
        """Return how many plates answer."""
        where, values = (query or Query()).where()
        return int(self._db.execute(f"SELECT count(*) FROM plates WHERE {where}", values).fetchone()[0])

    @mended
    def plates(self, query: Query | None = None, limit: int = -1, offset: int = 0) -> list[Row]:
        """Return a page of the plates that answer, as {column: value}; see `PLATE_COLUMNS`.

        Each has its `faults` too, a list of `JudgedFault` in the order of the journal.
        """
        query = query or Query()
        where, values = query.where()
        asked = f"SELECT * FROM plates WHERE {where} ORDER BY {query.order_by()} LIMIT ? OFFSET ?"
        rows = self._rows(asked, [*values, limit, offset])
        self._add_faults(rows)
        return rows

    def _add_faults(self, rows: list[Row]) -> None:
        by_path: dict[Any, list[JudgedFault]] = {row["path"]: [] for row in rows}
        every = list(by_path)
        for start in range(0, len(every), AT_ONCE):
            paths = every[start : start + AT_ONCE]
            holes = ", ".join("?" * len(paths))
            asked = f"SELECT path, name, place FROM faults WHERE path IN ({holes}) ORDER BY path, position"
            for path, name, place in self._db.execute(asked, paths):
                by_path[path].append(JudgedFault(str(name), None if place is None else str(place)))
        for row in rows:
            row["faults"] = by_path[row["path"]]

    @mended
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

    @mended
    def problem_count(self) -> int:
        """Return how many things are wrong with the journals of the log."""
        return int(self._db.execute("SELECT count(*) FROM problems").fetchone()[0])

    @property
    def whole(self) -> bool:
        """Whether every journal was looked at since the catalogue was begun."""
        return bool(self._meta("checked"))

    @mended
    def problems_of(self, query: Query | None = None) -> list[Problem]:
        """Return what is wrong with the journals of the plates that answer, and with the folders."""
        where, values = (query or Query()).where()
        rows = self._rows(
            "SELECT file, line, key, what FROM plates JOIN problems USING (path) "
            f"WHERE {where} ORDER BY plates.plate DESC, problems.rowid",
            values,
        )
        return [*self.problems, *(Problem(**row) for row in rows)]

    @mended
    def process(self, process_sum: str) -> str | None:
        """Return a process as it was then, as JSON, by the `process_sum` of its plates."""
        found = self._db.execute("SELECT body FROM processes WHERE sum = ?", (process_sum,)).fetchone()
        return None if found is None else str(found[0])

    @mended
    def find(self, word: str, rehearsals: bool = False) -> Path:
        """Return the first file of the plate that `word` names: an id, a unique start of one, or a number.

        Raises AmbiguousPlate with the list when several answer, NothingFound when none does.
        """
        word = word.strip()
        shelf = "rehearsals" if rehearsals else "plates"
        asked = "SELECT path, plate, number, process FROM plates WHERE shelf = ? AND "
        found = self._rows(asked + "plate = ?", [shelf, word])
        if not found and word.isdecimal() and word.isascii() and len(word) < 10:
            found = self._rows(asked + "number = ? ORDER BY plate", [shelf, int(word)])
        if not found and word:
            found = self._rows(asked + "substr(plate, 1, ?) = ? ORDER BY plate", [shelf, len(word), word])
        if not found:
            kind = "rehearsal" if rehearsals else "plate"
            raise NothingFound(f"no {kind} '{word}' in {printable(self.home)}")
        if len(found) > 1:
            told = [f"  {one['plate']}  number {one['number']}, {one['process']}" for one in found]
            raise AmbiguousPlate(f"several plates answer to '{word}':\n" + "\n".join(told))
        return Path(os.fsdecode(found[0]["path"]))

    def content(self) -> dict[str, list[tuple[Any, ...]]]:
        """Return every row that says something of plates, by table, sorted: to compare two catalogues."""
        return {
            table: sorted(self._db.execute(f"SELECT * FROM {table}").fetchall(), key=repr)
            for table in CONTENT
        }


def _filled(due: list[tuple[str | bytes, disk_state.Group]], helpers: int) -> Iterable[list[Filled]]:
    """Read what is due. The reader is imported when there is something to read: mostly there is not."""
    if not due:
        return ()
    from darkroom.log.catalogue.fill import filled

    return filled(due, helpers)
