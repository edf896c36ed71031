"""The catalogue's file: opened, created where it is missing, created anew where it is damaged."""

from __future__ import annotations

import functools
import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec, TypeVar

from darkroom import plain_files
from darkroom.errors import Problem
from darkroom.log.catalogue import row_totals
from darkroom.log.catalogue.row_sums import DAMAGED, check_tables, is_current, sound, with_sum
from darkroom.log.catalogue.schema import SCHEMA

if TYPE_CHECKING:
    import sqlite3

NAME = "catalogue.sqlite"
PATIENCE = 10.0
"""How long another program's transaction is waited for, in seconds."""

Row = dict[str, Any]
"""{column: value}."""
P = ParamSpec("P")
R = TypeVar("R")
S = TypeVar("S", bound="CatalogueFile")


def repairing(method: Callable[Concatenate[S, P], R]) -> Callable[Concatenate[S, P], R]:
    """Call the method again after an error: with a new catalogue, in memory where the file fails."""

    @functools.wraps(method)
    def tried(self: S, /, *args: P.args, **kwargs: P.kwargs) -> R:
        import sqlite3

        self._follow()
        for attempt in (1, 2):
            try:
                return method(self, *args, **kwargs)
            except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
                if is_damage(error) and attempt == 1:
                    self._unlink()
                elif self.path is not None and (is_damage(error) or _fails(error)):
                    self.path = None
                else:
                    raise
            self._begin_anew()
        return method(self, *args, **kwargs)

    return tried


def is_damage(error: Exception) -> bool:
    """Return whether the error means that the file is damaged, or no catalogue."""
    import sqlite3

    code = getattr(error, "sqlite_errorcode", None)
    damaged = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CONSTRAINT)
    if isinstance(error, UnicodeDecodeError) or (code is not None and code & 0xFF in damaged):
        return True  # a message of SQLite itself quotes the damaged text
    return any(words in str(error) for words in (DAMAGED, "no such table", "decode to UTF-8"))


def _fails(error: Exception) -> bool:
    """Return whether the error comes from the disk or from another program's lock, not from the SQL."""
    import sqlite3

    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    return code in (
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED,
        sqlite3.SQLITE_PERM,
    )


class CatalogueFile:
    """The tables on disk, or in memory where the folder of the log is not there or cannot be written."""

    def __init__(self, home: Path) -> None:
        """Open or create it; no journal is read yet."""
        self.home = home
        self.path: Path | None = home / NAME
        self.problems: list[Problem] = []
        self._inode: int | None = None
        """That of the file as it was opened."""
        self._sound_tables: set[str] = set()
        self._db = self._opened()

    def __enter__(self: S) -> S:
        """Use it."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close it."""
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._db.close()

    def check(self, progress: Callable[[int, int], None] | None = None, helpers: int = 1) -> int:
        """Fill it from the journals; see `Catalogue.check`."""
        raise NotImplementedError

    # --- the file --------------------------------------------------------------------------------

    def _opened(self) -> sqlite3.Connection:
        import sqlite3

        self._sound_tables.clear()
        if self.path is not None and os.path.isdir(self.home):
            self._clear_names(self.path)
            for first_try in (True, False):
                self._inode = self._inode_now()
                try:
                    db = self._begun(self.connected(self.path))
                    self._inode = self._inode_now()
                    return db
                except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
                    if not first_try or not is_damage(error):
                        break
                    self._unlink()
        self.path = None  # nowhere to keep it: a folder that is not there, or may not be written to
        return self._begun(self.connected(":memory:"))

    @staticmethod
    def _clear_names(path: Path) -> None:
        """Take away the link, pipe or device under a name of the catalogue, which SQLite would wait for."""
        for end in ("", "-wal", "-shm"):
            name = path.with_name(path.name + end)
            try:
                plain_files.check_plain(name, follow_links=False)
            except plain_files.NotPlain:
                with suppress(OSError):  # a folder stays: the catalogue is then in memory
                    name.unlink()
            except OSError:
                continue

    @staticmethod
    def connected(where: Path | str) -> sqlite3.Connection:
        """Open the file, or a place in memory, as the catalogue uses it. Raises sqlite3.DatabaseError."""
        import sqlite3

        db = sqlite3.connect(where, timeout=PATIENCE, isolation_level=None)
        try:
            db.execute("PRAGMA journal_mode = WAL")
            db.execute("PRAGMA synchronous = NORMAL")
        except sqlite3.DatabaseError:
            db.close()
            raise
        return db

    @staticmethod
    def _begun(db: sqlite3.Connection) -> sqlite3.Connection:
        """Make the tables in an empty file. Raises sqlite3.DatabaseError where others stand in it."""
        import sqlite3

        try:
            db.execute("BEGIN IMMEDIATE")
            if db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] == 0:
                for statement in SCHEMA.split(";"):
                    db.execute(statement)
            elif not is_current(db):
                raise sqlite3.DatabaseError(DAMAGED)
            db.execute("COMMIT")
        except BaseException:
            db.close()
            raise
        return db

    def _begin_anew(self) -> None:
        self._reopen()
        self.check()

    def _reopen(self) -> None:
        import sqlite3

        with suppress(sqlite3.Error):  # a damaged file need not close well; nothing of it is wanted
            self._db.close()
        self._db = self._opened()

    def _replace(self) -> None:
        """Have an empty catalogue in place of whatever is there."""
        self._unlink()
        self._reopen()

    def _follow(self) -> None:
        """Open the file anew when another program has put a new one in its place."""
        if self.path is not None and self._inode_now() != self._inode:
            self._reopen()

    def _inode_now(self) -> int | None:
        try:
            return None if self.path is None else self.path.stat().st_ino
        except OSError:
            return None

    def _look_at(self, tables: Iterable[str]) -> None:
        """Look at every row of tables, each once. Raises sqlite3.DatabaseError for a damaged or lost one."""
        if self.path is not None:  # what is in memory was filled a moment ago
            unseen = [table for table in dict.fromkeys(tables) if table not in self._sound_tables]
            check_tables(self._db, unseen)
            row_totals.check(self._db, unseen)
            self._sound_tables.update(unseen)

    def _unlink(self) -> None:
        """Take the file away, unless another program has already put a new one in its place."""
        if self.path is not None and self._inode_now() in (None, self._inode):
            for end in ("", "-wal", "-shm"):
                with suppress(OSError):  # another program may have done it, or it cannot be: then in memory
                    self.path.with_name(self.path.name + end).unlink()

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        self._db.execute("BEGIN IMMEDIATE")
        try:
            yield
            self._db.execute("COMMIT")
        except BaseException:
            if self._db.in_transaction:  # SQLite ends it itself on a full disk
                self._db.execute("ROLLBACK")
            raise

    def _rows(self, sql: str, values: Iterable[object]) -> list[Row]:
        """Return rows whose last column is the sum of the others, without it."""
        cursor = self._db.execute(sql, tuple(values))
        names = [column[0] for column in cursor.description[:-1]]
        return [dict(zip(names, row, strict=True)) for row in sound(cursor)]

    def _meta(self, name: str) -> str | None:
        row = next(sound(self._db.execute("SELECT * FROM meta WHERE key = ?", (name,))), None)
        return None if row is None else str(row[1])

    def _set_meta(self, name: str, value: str) -> None:
        self._db.execute("INSERT OR REPLACE INTO meta VALUES (?, ?, ?)", with_sum((name, value)))

    def _changes_read(self) -> tuple[int, int]:
        inode, offset = (self._meta("changed") or "0 0").split()
        return int(inode), int(offset)
