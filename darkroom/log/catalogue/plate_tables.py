"""The rows of plates in the tables of the catalogue: put in, and taken away."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from darkroom.log.catalogue import row_totals
from darkroom.log.catalogue.known_files import KnownFiles
from darkroom.log.catalogue.schema import BY_PATH, CONTENT

if TYPE_CHECKING:
    from darkroom.log.catalogue.fill import Filled

AT_ONCE = 500
"""So many values are asked for in one query; older SQLite takes at most 999."""


class PlateTables(KnownFiles):
    """The tables in `BY_PATH`, `files` and `processes`; `row_totals` is told of every change."""

    def _put(self, batch: list[Filled]) -> None:
        try:
            self._insert(batch)
        except (UnicodeEncodeError, OverflowError):  # a text or a number that SQLite has no place for
            from darkroom.log.catalogue.fill import storable

            self._insert(storable(batch))

    def _insert(self, batch: list[Filled]) -> None:
        """Put plates in; of two with the same first file, as copies in two folders have, the later one."""
        with self._transaction():
            changes = self._delete(self._known([filled_plate.first for filled_plate in batch]))
            one_each = list({filled_plate.first: filled_plate for filled_plate in batch}.values())
            for table, put in (*((table, one_each) for table in CONTENT), ("files", batch)):
                rows = [row for filled_plate in put for row in filled_plate.tables[table]]
                if rows:
                    placeholders = ", ".join("?" * len(rows[0]))
                    self._db.executemany(f"INSERT OR REPLACE INTO {table} VALUES ({placeholders})", rows)
                    changes[table] += len(rows)
            row_totals.add(self._db, {table: changes[table] for table in BY_PATH})

    def _known(self, firsts: list[Any]) -> list[Any]:
        """Return which of these first files are those of plates that have rows in the tables."""
        known: list[Any] = []
        for start in range(0, len(firsts), AT_ONCE):
            asked = firsts[start : start + AT_ONCE]
            sql = f"SELECT path FROM plates WHERE path IN ({', '.join('?' * len(asked))})"
            known += [path for (path,) in self._db.execute(sql, asked)]
        return known

    def _delete(self, firsts: list[Any]) -> Counter[str]:
        """Take the rows of plates away; return {table: how many rows it has more}, to be told."""
        changes: Counter[str] = Counter()
        if firsts:
            for table in BY_PATH:
                sql = f"DELETE FROM {table} WHERE path = ?"
                changes[table] -= self._db.executemany(sql, [(first,) for first in firsts]).rowcount
            self._db.executemany("DELETE FROM files WHERE first = ?", [(first,) for first in firsts])
        return changes

    def _forget(self, firsts: list[Any]) -> None:
        if firsts:
            with self._transaction():
                row_totals.add(self._db, self._delete(firsts))
                self._forget_processes()

    def _forget_folders(self, gone: set[Any]) -> None:
        if not gone:
            return
        with self._transaction():
            for folder in gone:
                self._looks.pop(folder, None)
                sql = "SELECT DISTINCT first FROM files WHERE folder = ?"
                firsts = [first for (first,) in self._db.execute(sql, (folder,)).fetchall()]
                row_totals.add(self._db, self._delete(firsts))
                self._db.execute("DELETE FROM folders WHERE path = ?", (folder,))
            self._forget_processes()

    def _forget_processes(self) -> None:
        self._db.execute(
            "DELETE FROM processes WHERE sum NOT IN (SELECT process_sum FROM plates "
            "WHERE process_sum IS NOT NULL)"
        )
