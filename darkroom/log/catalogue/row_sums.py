"""A checksum for each row of the catalogue: a row that was damaged is never shown as true.

SQLite notices a broken structure, not a value that was changed in a row or in the file. The sum stands in
the row's last column and covers all others. It is in the same transaction as the row, so several programs
and a crash keep it right, which sums of pages beside the file would not.
"""

from __future__ import annotations

import math
import zlib
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from itertools import chain, islice
from operator import itemgetter
from typing import TYPE_CHECKING, Any

import msgspec

from darkroom.log.catalogue.schema import SCHEMA, VERSION

if TYPE_CHECKING:
    import sqlite3

DAMAGED = "a row of the catalogue is damaged"
_NAN = b"\xf8\x00\x00\x00\x00\x00\x00"
"""The end of a number that is none, as it is encoded; SQLite keeps it as NULL."""
AT_ONCE = 512
"""So many rows are held and looked at together."""
_SUM = itemgetter(-1)
_encoded = msgspec.msgpack.Encoder().encode


def row_sum(values: Sequence[Any]) -> int:
    """Return the CRC-32 of a row's values, 0 where SQLite has no place for one of them."""
    try:
        data = _encoded(values)
        if _NAN in data:
            data = _encoded([None if _is_nan(value) else value for value in values])
    except (UnicodeEncodeError, OverflowError):
        return 0
    return zlib.crc32(data)


def _is_nan(value: Any) -> bool:
    return isinstance(value, float) and math.isnan(value)


def with_sum(values: tuple[Any, ...]) -> tuple[Any, ...]:
    """Return a row with its sum as the last value."""
    return (*values, row_sum(values))


def add_sums(rows: Sequence[list[Any]]) -> None:
    """Append its sum to each of many rows, as `with_sum` does: without a step of Python's for each."""
    try:
        encoded = list(map(_encoded, rows))
        is_odd = _NAN in b"".join(encoded)
    except (UnicodeEncodeError, OverflowError):
        is_odd = True
    sums = map(row_sum, rows) if is_odd else map(zlib.crc32, encoded)
    deque(map(list.append, rows, sums), maxlen=0)


def damaged() -> sqlite3.DatabaseError:
    """Return the error for a catalogue that holds something untrue, or has lost something."""
    import sqlite3

    return sqlite3.DatabaseError(DAMAGED)


def sound(rows: Iterable[tuple[Any, ...]]) -> Iterator[tuple[Any, ...]]:
    """Yield the rows without their sums. Raises sqlite3.DatabaseError at one whose sum is not right."""
    encoded, crc32 = _encoded, zlib.crc32  # each row of a long log passes here
    for row in rows:
        values = row[:-1]
        try:
            is_right = crc32(encoded(values)) == row[-1]
        except (UnicodeEncodeError, OverflowError):
            is_right = False
        if not is_right and row[-1] != row_sum(values):  # which knows numbers that are none
            raise damaged()
        yield values


def checked(rows: Iterable[tuple[Any, ...]], before: int = 0) -> Iterator[tuple[Any, ...]]:
    """Yield the rows with their sums. Raises sqlite3.DatabaseError at one whose sum is not right.

    The first `before` values of each are no columns of its table. Rows are looked at some hundred at a time,
    which takes a third of the time that it takes one by one.
    """
    return chain.from_iterable(_checked(iter(rows), itemgetter(slice(before, -1))))


def _checked(
    rows: Iterator[tuple[Any, ...]], values: Callable[[Any], Any]
) -> Iterator[list[tuple[Any, ...]]]:
    while batch := list(islice(rows, AT_ONCE)):
        if not _all_sound(batch, values):
            for row in batch:
                if row[-1] != row_sum(values(row)):
                    raise damaged()
        yield batch


def _all_sound(batch: Sequence[tuple[Any, ...]], values: Callable[[Any], Any]) -> bool:
    """Return whether the sums of rows are right; of a row with an odd value only `row_sum` can tell."""
    try:
        return list(map(_SUM, batch)) == list(map(zlib.crc32, map(_encoded, map(values, batch))))
    except (UnicodeEncodeError, OverflowError):
        return False


def check_tables(db: sqlite3.Connection, tables: Iterable[str]) -> None:
    """Look at every row, and at every entry of the indexes. Raises sqlite3.DatabaseError for any damage."""
    for table in tables:
        deque(checked(db.execute(f"SELECT * FROM {table}")), maxlen=0)
        check_structure(db, table)


def check_structure(db: sqlite3.Connection, table: str) -> None:
    """Look at the pages of a table: none of its rows is lost. Raises sqlite3.DatabaseError for any damage.

    For a table whose rows are all read with their sums in any case.
    """
    if db.execute(f"PRAGMA integrity_check({table})").fetchone() != ("ok",):
        raise damaged()


def is_current(db: sqlite3.Connection) -> bool:
    """Return whether the tables are exactly those of this version."""
    return db.execute("PRAGMA user_version").fetchone()[0] == VERSION and _layout(db) == _expected_layout()


def _layout(db: sqlite3.Connection) -> list[tuple[str, ...]]:
    return sorted(
        tuple(map(str, row)) for row in db.execute("SELECT type, name, tbl_name, sql FROM sqlite_master")
    )


@cache
def _expected_layout() -> list[tuple[str, ...]]:
    import sqlite3

    db = sqlite3.connect(":memory:")
    db.executescript(SCHEMA)
    try:
        return _layout(db)
    finally:
        db.close()
