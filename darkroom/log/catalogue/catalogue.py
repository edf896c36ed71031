"""A rebuildable index of the log for review: one row a plate, one row a stage.

The journals are the truth. The catalogue is filled from them by the bench's own fold, keyed by each
file's size, time of change and inode; deleting it loses nothing, and a damaged one is filled anew. Several
programs may use it at once; a `Catalogue` belongs to the thread that opened it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from operator import itemgetter
from pathlib import Path
from typing import Any

import msgspec

from darkroom.errors import AmbiguousPlate, NothingFound, Problem
from darkroom.exposure.judged import JudgedPlate, LeftOut
from darkroom.log.catalogue import row_totals
from darkroom.log.catalogue.database import Row, repairing
from darkroom.log.catalogue.fault_rows import fault_of_row
from darkroom.log.catalogue.keeping_up import KeptCatalogue
from darkroom.log.catalogue.plate_line import IN_A_LINE, line
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.row_sums import check_structure, check_tables, checked, damaged, sound
from darkroom.log.catalogue.schema import (
    CONTENT,
    FOR_LEARNING,
    FOR_LISTS,
    FOR_STAGES,
    STAGE_COLUMNS,
    TABLES,
)
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.store.paths import printable
from darkroom.solutions.plate_use import PlateUse

DECODED = msgspec.msgpack.Decoder(JudgedPlate)
"""Reads what the table of judged exposures holds of a plate."""
AT_ONCE = 500
"""The faults of so many plates are selected at once; older SQLite takes at most 999 values."""


class Catalogue(KeptCatalogue):
    """The index of the log in `home`, and what can be asked of it."""

    def select(self, sql: str, values: Iterable[object] = ()) -> Iterator[Any]:
        """Yield the rows of an SQL query. Raises sqlite3.DatabaseError: see `repairing`."""
        self._look_at(TABLES)
        return iter(self._db.execute(sql, tuple(values)))

    @contextmanager
    def one_state(self) -> Iterator[None]:
        """Have all that is read meanwhile from one state of the tables, whatever other programs write."""
        self._db.execute("BEGIN")
        try:
            yield
        finally:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")  # nothing was written

    def check_structure(self, tables: Iterable[str]) -> None:
        """Look at the pages of tables, none of whose rows is lost: for those whose rows are read `checked`.

        Raises sqlite3.DatabaseError: see `repairing`.
        """
        if self.path is not None:
            tables = tuple(tables)
            for table in tables:
                check_structure(self._db, table)
            row_totals.check(self._db, tables)

    def check_rows(self, tables: Iterable[str]) -> None:
        """Look at every row of tables, and at their pages, each time it is asked; in memory at none.

        Raises sqlite3.DatabaseError: see `repairing`.
        """
        if self.path is not None:
            tables = tuple(tables)
            check_tables(self._db, tables)
            row_totals.check(self._db, tables)

    def checked(self, sql: str, values: Iterable[object] = (), before: int = 0) -> Iterator[tuple[Any, ...]]:
        """Yield the rows of an SQL query of whole rows, their sums last, each looked at by its sum.

        The first `before` values are no columns of the table. Raises sqlite3.DatabaseError: see `repairing`.
        """
        return checked(self._db.execute(sql, tuple(values)), before)

    def few(self, sql: str, values: Iterable[object] = ()) -> Iterator[Any]:
        """Yield the rows of an SQL query that reads a small part of tables, which are not looked at first.

        Rows that end in their `row_sum` are to be checked with `row_sums.sound`. Raises
        sqlite3.DatabaseError: see `repairing`.
        """
        return iter(self._db.execute(sql, tuple(values)))

    @repairing
    def count(self, query: Query | None = None) -> int:
        """Return how many plates answer. A lost one is noticed where all of them are counted."""
        query = query or Query()
        where, values = query.where()
        if not query.leaves_all:
            return int(self._db.execute(f"SELECT count(*) FROM plates WHERE {where}", values).fetchone()[0])
        with self.one_state():
            shelves = dict(self._db.execute("SELECT shelf, count(*) FROM plates GROUP BY shelf"))
            if self.path is not None:
                row_totals.compare(self._db, {"plates": sum(shelves.values())})
        return int(shelves.get(values[0], 0))

    @repairing
    def plates(self, query: Query | None = None, limit: int = -1, offset: int = 0) -> list[Row]:
        """Return a page of the plates that answer, as {column: value}; see `PLATE_COLUMNS`.

        Each has its `faults` too, a list of `JudgedFault` in the order of the journal. A lost plate is
        noticed where many are asked for; a page takes less time than counting them, see `count`.
        """
        query = query or Query()
        where, values = query.where()
        sql = f"SELECT * FROM plates WHERE {where} ORDER BY {query.order_by()} LIMIT ? OFFSET ?"
        if not 0 <= limit < AT_ONCE:
            self.check_plates()
        with self.one_state():
            rows = self._rows(sql, [*values, limit, offset])
            self._add_faults(rows)
        return rows

    @repairing
    def lines(self, query: Query, columns: Sequence[str]) -> list[Row]:
        """Return {column: value} of these columns of the plates that answer, with their `faults`.

        Every row of the table is looked at first, once; those that answer are then read without their sums,
        as by `select`: the sum is of all columns.
        """
        self._look_at(FOR_LISTS)
        where, values = query.where()
        names = ("path", *columns)
        sql = f"SELECT {', '.join(names)} FROM plates WHERE {where} ORDER BY {query.order_by()}"
        rows: list[Row] = [dict(zip(names, row, strict=True)) for row in self._db.execute(sql, values)]
        by_path: dict[Any, list[JudgedFault]] = {row["path"]: row.setdefault("faults", []) for row in rows}
        for path, *values in sound(self._db.execute("SELECT * FROM faults ORDER BY path, position")):
            if path in by_path:
                by_path[path].append(fault_of_row(values))
        return rows

    @repairing
    def line_texts(self, query: Query) -> list[str]:
        """Return the plates that answer as lines of text, in the order of the query; see `plate_line`.

        Where the query leaves all, the lines are ready in the table `listed`, and nothing else is looked at.
        """
        if not query.leaves_all:
            return [line(row) for row in self.lines(query, IN_A_LINE)]
        self.check_structure(("listed",))
        shelf = "rehearsals" if query.rehearsals else "plates"
        rows = self.checked("SELECT * FROM listed WHERE shelf = ? ORDER BY path", (shelf,))
        in_order = sorted(rows, key=itemgetter(2))  # the order of files is nearly that of plates
        if query.order == "newest":
            in_order.reverse()
        return [row[3] for row in in_order]

    def _add_faults(self, rows: list[Row]) -> None:
        by_path: dict[Any, list[JudgedFault]] = {row["path"]: [] for row in rows}
        all_paths = list(by_path)
        for start in range(0, len(all_paths), AT_ONCE):
            paths = all_paths[start : start + AT_ONCE]
            placeholders = ", ".join("?" * len(paths))
            sql = f"SELECT * FROM faults WHERE path IN ({placeholders}) ORDER BY path, position"
            for path, *values in sound(self._db.execute(sql, paths)):
                by_path[path].append(fault_of_row(values))
        for row in rows:
            faults = row["faults"] = by_path[row["path"]]
            if len(faults) != int(row["row_counts"].partition(" ")[0]):
                raise damaged()

    @repairing
    def stages(self, query: Query | None = None, ends: str | None = None) -> list[Row]:
        """Return the stages of the plates that answer, oldest plate first; all, or those that end so.

        Each is a row of `STAGE_COLUMNS` with its plate's `plate`, `number`, `process`, `process_sum` and
        `fixer`.
        """
        self._look_at(FOR_STAGES)
        self.check_plates()
        where, values = (query or Query()).where()
        rows = self._db.execute(
            "SELECT stages.*, plates.plate, plates.number, plates.process, plates.process_sum, "
            f"plates.fixer FROM plates JOIN stages USING (path) WHERE {where} AND (? IS NULL OR ends = ?) "
            "ORDER BY plates.plate, path, position",
            [*values, ends, ends],
        )
        names = (*STAGE_COLUMNS, "row_sum", "plate", "number", "process", "process_sum", "fixer")
        return [{k: v for k, v in zip(names, row, strict=True) if k != "row_sum"} for row in rows]

    @repairing
    def judged_exposures(self) -> tuple[list[JudgedPlate], list[LeftOut]]:
        """Return what the judged plates say of the exposure, and those that say nothing, oldest first.

        Rehearsals are never among them.
        """
        self._look_at(FOR_LEARNING)
        sql = "SELECT (SELECT count(*) FROM exposures), (SELECT count(*) FROM plates WHERE row_counts LIKE ?)"
        present, told = self._db.execute(sql, ("% 1",)).fetchone()  # in one statement: of one state
        if present != told:
            raise damaged()
        judged: list[JudgedPlate] = []
        left_out: list[LeftOut] = []
        sql = "SELECT plate, number, judged, left_out FROM exposures ORDER BY plate, path"
        for plate, number, body, reason in self._db.execute(sql):
            if body is None:
                left_out.append(LeftOut(plate=plate, number=int(number), reason=reason))
            else:
                judged.append(DECODED.decode(body))
        return judged, left_out

    @repairing
    def plate_uses(self, roles: tuple[str, ...] | None = None) -> list[PlateUse]:
        """Return what the plates used of the bottles they name, in the order of files; of `roles`, or all.

        Rehearsals are never among them.
        """
        self.check_structure(("uses",))
        where = "" if roles is None else f"WHERE role IN ({', '.join('?' * len(roles))})"
        rows = self._db.execute(f"SELECT * FROM uses {where} ORDER BY path, position", roles or ())
        return [PlateUse(*row[2:]) for row in sound(rows)]

    @repairing
    def judged_without_start(self) -> int:
        """Return how many judged plates have lost their first line: of them no exposure can be told."""
        sql = (
            "SELECT count(*) FROM plates WHERE shelf = 'plates' AND process IS NULL AND "
            "(exposure_stops IS NOT NULL OR exposure_word IS NOT NULL OR best_strip IS NOT NULL)"
        )
        return int(self._db.execute(sql).fetchone()[0])

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
        self._look_at(("problems",))
        if not self._db.execute("SELECT EXISTS (SELECT 1 FROM problems)").fetchone()[0]:
            return list(self.problems)
        self._look_at(("plates",))
        where, values = (query or Query()).where()
        rows = self._db.execute(
            "SELECT problems.* FROM plates JOIN problems USING (path) "
            f"WHERE {where} ORDER BY plates.plate DESC, problems.rowid",
            values,
        )
        return [*self.problems, *(Problem(*row[1:]) for row in sound(rows))]

    @repairing
    def process(self, process_sum: str) -> str | None:
        """Return a process as it was then, as JSON, by the `process_sum` of its plates."""
        rows = self._db.execute("SELECT * FROM processes WHERE sum = ?", (process_sum,))
        row = next(sound(rows), None)
        return None if row is None else str(row[2])

    @repairing
    def find(self, word: str, rehearsals: bool = False) -> Path:
        """Return the first file of the plate that `word` names: an id, a unique start of one, or a number.

        Raises AmbiguousPlate with the list when several answer, NothingFound when none does.
        """
        self.check_structure(("plates",))  # no row is lost, and the indexes agree with it
        word = word.strip()
        collection = "rehearsals" if rehearsals else "plates"
        sql = "SELECT * FROM plates WHERE shelf = ? AND "
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
