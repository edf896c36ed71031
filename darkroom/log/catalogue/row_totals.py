"""How many rows the tables of plates have, kept in the table `meta`: lost rows are noticed by it.

An empty page in place of a table's first one is sound by itself, and so is a table that another program took
rows from. Whoever puts rows of plates in or takes some away tells it here, in the same transaction.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

import msgspec

from darkroom.log.catalogue.row_sums import damaged, sound, with_sum
from darkroom.log.catalogue.schema import BY_PATH

if TYPE_CHECKING:
    import sqlite3

KEY = "rows"
PLATES_IN_ORDER = "plates INDEXED BY plates_by_id WHERE shelf > ''"
"""The index that plates are selected by, to be counted in place of the smallest one."""
WHOLE_PLATES = "plates NOT INDEXED"
"""The rows of plates themselves, to be counted in place of an index."""
TOTALS = msgspec.json.Decoder(dict[str, int])


def add(db: sqlite3.Connection, changes: Mapping[str, int]) -> None:
    """Tell of so many rows more, or fewer, in each of these tables. In the transaction that changes them."""
    totals = _of(db)
    for table, rows in changes.items():
        totals[table] = totals.get(table, 0) + rows
    row = with_sum((KEY, msgspec.json.encode(totals).decode()))
    db.execute("INSERT OR REPLACE INTO meta VALUES (?, ?, ?)", row)


def check(db: sqlite3.Connection, counted: Iterable[str]) -> None:
    """Count rows. Raises sqlite3.DatabaseError where a table has more or fewer than told.

    `counted` are tables, `plates` with the index that is counted, or with none; those that are not in
    BY_PATH pass.
    """
    asked = [what for what in counted if what.split()[0] in BY_PATH]
    if not asked:
        return
    counts = ", ".join(f"(SELECT count(*) FROM {what})" for what in asked)
    sql = f"SELECT {counts}, meta.* FROM (SELECT 1) LEFT JOIN meta ON key = ?"  # one statement: of one state
    row = db.execute(sql, (KEY,)).fetchone()
    meta = row[len(asked) :]
    totals = _told(() if meta[0] is None else sound([meta]))
    if any(count != totals.get(what.split()[0], 0) for what, count in zip(asked, row, strict=False)):
        raise damaged()


def compare(db: sqlite3.Connection, counts: Mapping[str, int]) -> None:
    """Raise sqlite3.DatabaseError where tables do not have the rows told: `counts`, of the same state."""
    totals = _of(db)
    if any(count != totals.get(table, 0) for table, count in counts.items()):
        raise damaged()


def _of(db: sqlite3.Connection) -> dict[str, int]:
    return _told(sound(db.execute("SELECT * FROM meta WHERE key = ?", (KEY,))))


def _told(rows: Iterable[tuple[Any, ...]]) -> dict[str, int]:
    """Return {table: its rows} as the row of `meta` tells, which is without its sum; nothing without it."""
    return next((TOTALS.decode(value) for _, value in rows), {})
