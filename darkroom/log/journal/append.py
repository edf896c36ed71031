"""The other writers: a word about a plate, added from the command line.

A note holds the journal's lock from reading its end until after its fsync. While it does so it also
holds `bench.lock` with others of its kind, so that no tool reads the journal back in between.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from darkroom.bench import events as ev
from darkroom.errors import NotReadable, NotSavedError, PlateOnBench
from darkroom.log.journal import frame
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.journal.plate_files import words
from darkroom.log.journal.read import FileRead
from darkroom.log.store import changes, durable, locks

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
        found = read_plate(path)
        _refuse(found, bench.running)  # at once: the bench keeps its lock for as long as the plate is on it
        target = _target(found)
        try:
            fd = durable.append(target.path)
        except OSError as error:
            raise NotReadable(f"{target.path}: {words(error)}") from None
        try:
            if not locks.lock(fd, wait=PATIENCE):
                raise PlateOnBench("the plate is on the bench: note it at the bench")
            log = read_plate(path)
            _refuse(log, bench.running)
            events = build(_next_n(log))
            _append(fd, _target(log), b"".join(map(frame.encode, events)))
        finally:
            os.close(fd)
        changes.tell(home, target.path)
        return events
    finally:
        bench.close()


def _refuse(log: PlateLog, running: bool) -> None:
    """Refuse a plate the bench may write to, and one whose journal this version does not know."""
    if log.schema > ev.SCHEMA:
        raise NotSavedError("the plate is from a newer darkroom: it can be read, not added to")
    on_bench = log.start is not None and log.ended is None and not log.rehearsal
    if on_bench and (running or not log.racked):
        raise PlateOnBench("the plate is on the bench: note it at the bench")


def _target(log: PlateLog) -> FileRead:
    """Return the last file in the plate's own folder, or the last of all."""
    own = [part for part in log.parts if part.path.parent == log.path.parent]
    return (own or list(log.parts))[-1]


def _next_n(log: PlateLog) -> int:
    """Return the number after the last line, lines that cannot be read at its end counted."""
    last = log.parts[-1]
    lost = last.line_count - last.kept[-1].line if last.kept else 0
    return log.last_n + 1 + max(0, lost)


def _append(fd: int, part: FileRead, line: bytes) -> None:
    size = os.fstat(fd).st_size
    data = line if size == 0 or not part.tail else b"\n" + line
    try:
        durable.write_once(fd, data)
        durable.sync(fd)
        durable.sync_folder(part.path.parent)
    except OSError as error:
        with suppress(OSError):  # what could not be written may not be cut either; both are said
            os.ftruncate(fd, size)
        raise NotSavedError(f"not saved: {words(error)}") from None


class BenchHeld:
    """Keeps a tool from starting while a note is written; `running` says that one is running."""

    def __init__(self, home: Path) -> None:
        self.running = False
        self._fd = -1
        with suppress(OSError):  # where it cannot be made there is nothing to write to either
            self._fd = os.open(
                home / "bench.lock", os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o666
            )
            self.running = not locks.lock(self._fd, shared=True)

    def close(self) -> None:
        """Let go."""
        if self._fd >= 0:
            os.close(self._fd)
