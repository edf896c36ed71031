"""Adding lines of review to a journal from outside the bench: notes, faults, ratings, moved strikes.

The writer holds the journal's lock from reading its end until after its fsync. Meanwhile it shares
`bench.lock` with other such writers, so that no tool takes the bench and reads the journal in between.
A plate on the bench is refused. A racked plate is any writer's as soon as the bench has given its lock back.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from darkroom import plain_files
from darkroom.bench import events as ev
from darkroom.errors import DarkroomError, NotReadable, NotSavedError, PlateOnBench
from darkroom.log.journal import frame
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.journal.plate_files import disk_error_text
from darkroom.log.journal.read import JournalFile
from darkroom.log.store import changes, durable, locks
from darkroom.log.store.paths import printable

ON_BENCH = "the plate is on the bench: note it at the bench"
PATIENCE = 1.0
"""How long another writer's lock is waited for, in seconds."""

Review = ev.Note | ev.Fault | ev.Rating | ev.Detail
Added = TypeVar("Added", bound=Review | ev.Moved)
"""A line of review: a judgement, or a strike that is moved."""


def add(home: Path, path: Path, build: Callable[[int], Added]) -> Added:
    """Add one review event; see `add_all`. `build` gets the line's number `n`."""
    return add_all(home, path, lambda n: [build(n)])[0]


def add_all(home: Path, path: Path, build: Callable[[int], Sequence[Added]]) -> Sequence[Added]:
    """Add review events of one cause to the plate whose first file is `path`; return them, saved.

    `build` gets the number `n` of the first line; there is at least one. `home` is the folder of the
    log. Raises PlateOnBench for a plate on the bench, NotReadable when there is no file to write to,
    NotSavedError when the disk does not take the lines: the journal is then as it was.
    """
    bench = BenchHeld(home)
    try:
        unlocked_log = read_plate(path)
        refuse(
            unlocked_log
        )  # before waiting for the lock: the bench holds it for as long as the plate is there
        target_file = unlocked_log.file_to_append_to
        fd = _open(target_file)
        try:
            if not (locks.lock(fd, wait=PATIENCE) and _others_free(unlocked_log, target_file.path)):
                raise PlateOnBench(_held_reason(unlocked_log))
            locked_log = read_plate(path)
            refuse(locked_log)
            if locked_log.file_to_append_to.path != target_file.path:
                raise NotSavedError("the journal goes on in another file since: try again")
            events = build(_next_n(locked_log))
            _append(fd, locked_log.file_to_append_to, b"".join(map(frame.encode, events)))
        finally:
            plain_files.close(fd)
        changes.add(home, target_file.path)
        return events
    finally:
        bench.close()


def why_not(path: Path) -> str | None:
    """Return why no line can be added to the plate whose first file is `path` now, or None.

    Nothing is waited for and nothing is written: it is asked before anything is typed.
    """
    log = read_plate(path)
    try:
        refuse(log)
        target_file = log.file_to_append_to
        fd = _open(target_file)
    except DarkroomError as error:
        return str(error)
    try:
        is_free = locks.lock(fd) and _others_free(log, target_file.path)
    finally:
        plain_files.close(fd)
    return None if is_free else _held_reason(log)


def _open(journal_file: JournalFile) -> int:
    path = journal_file.path
    if not journal_file.good_lines and os.path.islink(path):
        raise NotSavedError(
            f"{printable(path)} is a link to a file that is no journal: nothing is added to it"
        )
    try:
        return durable.append(path)
    except OSError as error:
        raise NotReadable(f"{path}: {disk_error_text(error)}") from None


def _others_free(log: PlateLog, path: Path) -> bool:
    """Return whether no other file of the plate is locked: after a full disk the bench writes elsewhere."""
    for journal_file in log.journal_files:
        if journal_file.path == path:
            continue
        try:
            fd = durable.append(journal_file.path)
        except OSError:  # what cannot be opened is not written to either
            continue
        try:
            if not locks.lock(fd):
                return False
        finally:
            plain_files.close(fd)
    return True


def refuse(log: PlateLog) -> None:
    """Refuse a plate that is on the bench, and one whose journal this version does not know.

    Raises PlateOnBench or NotSavedError.
    """
    if log.schema > ev.SCHEMA:
        raise NotSavedError("the plate is from a newer darkroom: it can be read, not added to")
    if log.start is not None and log.ended is None and not log.rehearsal and not log.racked:
        raise PlateOnBench(ON_BENCH)


def _held_reason(log: PlateLog) -> str:
    """Return why the journal's lock is not free."""
    if log.ended is None and not log.racked:
        return ON_BENCH
    what = "finished" if log.ended is not None else "racked"
    return f"the plate is just {what}, or another note is written to it: try again in a minute"


def _next_n(log: PlateLog) -> int:
    """Return the number after the last line, lines that cannot be read at its end counted."""
    last_file = log.journal_files[-1]
    unreadable_lines = last_file.line_count - last_file.good_lines[-1].line if last_file.good_lines else 0
    return log.last_n + 1 + max(0, unreadable_lines)


def _append(fd: int, journal_file: JournalFile, lines: bytes) -> None:
    size = os.fstat(fd).st_size
    data = lines if size == 0 or not journal_file.tail else b"\n" + lines
    try:
        durable.write_once(fd, data)
        durable.sync(fd)
        durable.sync_folder(journal_file.path.parent)
    except OSError as error:
        with suppress(OSError):  # where the write failed, cutting back may fail too
            os.ftruncate(fd, size)
        raise NotSavedError(f"not saved: {disk_error_text(error)}") from None


class BenchHeld:
    """Keeps a tool from starting while a note is written; `running` says that one is running."""

    def __init__(self, home: Path) -> None:
        self.running = False
        self._fd = -1
        with suppress(OSError):  # a folder that takes no lock file takes no line either
            self._fd = durable.open_or_create(home / "bench.lock")
            self.running = not locks.lock(self._fd, shared=True)

    def close(self) -> None:
        """Give `bench.lock` back."""
        if self._fd >= 0:
            plain_files.close(self._fd)
