"""Damage to a catalogue, and what is asked of it afterwards: the truth, whatever the file holds."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import msgspec

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.trends.facts import Rows
from darkroom.log.trends.reading import trend_rows
from darkroom.log.trends.speed import speeds_of

Answer = tuple[object, ...]


def answers(home: Path) -> Answer:
    """Return what lists, searches and trends say of the log after its catalogue was opened and checked."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        plates = catalogue.plates()
        named = [catalogue.find(str(row["plate"])) for row in plates[:1]]
        problems = [str(problem) for problem in catalogue.problems_of()]
        searched = catalogue.count(Query(words="e"))
        trends = _plain(trend_rows(catalogue, Query()))
        return plates, named, problems, searched, catalogue.stages(), trends, catalogue.plate_uses()


def _plain(rows: Rows) -> object:
    plates = [msgspec.structs.astuple(fact) for fact in rows.plates]
    speeds = speeds_of(rows.judged)
    told = (speeds.told, speeds.open, speeds.silent)
    return plates, list(rows.fixed), rows.faults, dict(rows.rooms), told


def remove(home: Path) -> None:
    """Take the catalogue and its side files away, whatever they are."""
    for end in ("", "-wal", "-shm"):
        path = home / f"{NAME}{end}"
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink(missing_ok=True)


def put(home: Path, data: bytes) -> None:
    """Have a catalogue of these bytes, without side files."""
    remove(home)
    (home / NAME).write_bytes(data)


def flipped(data: bytes, at: int, mask: int = 0x01) -> bytes:
    """Return the bytes with one of them changed."""
    changed = bytearray(data)
    changed[at] ^= mask
    return bytes(changed)


def page_damage(data: bytes, page: int = 4096) -> Iterator[tuple[str, bytes]]:
    """Yield (what, bytes) with each page zeroed, filled with 0xFF, and replaced by the page before it."""
    for start in range(0, len(data), page):
        before = data[start - page : start] if start else data[-page:]
        for what, put_in in (("zeroed", bytes(page)), ("filled", b"\xff" * page), ("replaced", before)):
            yield f"page at {start} {what}", data[:start] + put_in + data[start + page :]


def emptied(home: Path, name: str) -> bytes:
    """Return a catalogue whose table or index `name` has an empty page in place of its first one.

    A page without cells is eight bytes and zeros: its kind, no free block, no cell, where the cells begin, no
    fragment (SQLite's file format, "B-tree Pages").
    """
    data = (home / NAME).read_bytes()
    db = sqlite3.connect(home / NAME)
    [[number]] = db.execute("SELECT rootpage FROM sqlite_master WHERE name = ?", (name,)).fetchall()
    [[size]] = db.execute("PRAGMA page_size").fetchall()
    db.close()
    start = (number - 1) * size
    kind = 13 if data[start] in (5, 13) else 10  # a leaf of a table with row ids, else one of an index
    page = bytes((kind, 0, 0, 0, 0)) + size.to_bytes(2, "big") + b"\0"
    return data[:start] + page.ljust(size, b"\0") + data[start + size :]


def changed_by_sql(home: Path, *statements: str) -> None:
    """Change the catalogue as a program would that knows nothing of its sums."""
    db = sqlite3.connect(home / NAME)
    for statement in statements:
        db.execute(statement)
    db.commit()
    db.close()


def _other_database(home: Path) -> None:
    remove(home)
    changed_by_sql(home, "CREATE TABLE plates (path, title)", "INSERT INTO plates VALUES ('x', 'y')")


def _view(home: Path) -> None:
    changed_by_sql(home, "ALTER TABLE plates RENAME TO kept", "CREATE VIEW plates AS SELECT * FROM kept")


ODD_STATES: dict[str, Callable[[Path], None]] = {
    "nothing": remove,
    "an empty file": lambda home: put(home, b""),
    "a text": lambda home: put(home, b"path,plate\n" * 400),
    "a folder": lambda home: (remove(home), (home / NAME).mkdir())[0],
    "a folder with files": lambda home: (remove(home), (home / NAME / "x").mkdir(parents=True))[0],
    "a folder in place of the log": lambda home: (remove(home), (home / f"{NAME}-wal").mkdir())[0],
    "a link to nothing": lambda home: (remove(home), (home / NAME).symlink_to(home / "gone"))[0],
    "a pipe": lambda home: (remove(home), os.mkfifo(home / NAME))[0],
    "another database": _other_database,
    "a view": _view,
    "a column more": lambda home: changed_by_sql(home, "ALTER TABLE plates ADD COLUMN more"),
    "a column of another name": lambda home: changed_by_sql(
        home, "ALTER TABLE plates RENAME COLUMN subject TO topic"
    ),
    "no index": lambda home: changed_by_sql(home, "DROP INDEX plates_by_id"),
    "no table": lambda home: changed_by_sql(home, "DROP TABLE stages"),
    "other version": lambda home: changed_by_sql(home, "PRAGMA user_version = 77"),
    "changed text": lambda home: changed_by_sql(home, "UPDATE plates SET subject = 'false'"),
    "changed words": lambda home: changed_by_sql(home, "UPDATE plates SET words = ''"),
    "changed path": lambda home: changed_by_sql(home, "UPDATE plates SET path = 7 WHERE number = 1"),
    "changed seconds": lambda home: changed_by_sql(home, "UPDATE stages SET seconds = seconds + 1"),
    "changed readings": lambda home: changed_by_sql(home, "UPDATE readings SET celsius = 99"),
    "changed faults": lambda home: changed_by_sql(home, "UPDATE faults SET name = 'false'"),
    "changed plates of trends": lambda home: changed_by_sql(
        home, "UPDATE trend_plates SET packed = CAST(packed || x'00' AS BLOB)"
    ),
    "a lost plate of trends": lambda home: changed_by_sql(
        home, "DELETE FROM trend_plates WHERE path = (SELECT min(path) FROM trend_plates)"
    ),
    "changed process": lambda home: changed_by_sql(home, "UPDATE processes SET body = '{'"),
    "changed state": lambda home: changed_by_sql(home, "UPDATE files SET folder = 'x'"),
    "changed place": lambda home: changed_by_sql(home, "UPDATE meta SET value = 'x y z'"),
    "text of no encoding": lambda home: changed_by_sql(
        home, "UPDATE plates SET subject = CAST(x'ff' AS TEXT)"
    ),
}
"""Whole catalogues that are none, or say what no journal says."""
