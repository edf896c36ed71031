"""Files of events that several programs append to: the days and the bottles. Read, and appended to.

Reading locks nothing and never raises; a line that cannot be read is a problem, and the others count.
Whoever appends holds the file's lock from reading its end until after its fsync.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Generic, TypeVar

import msgspec

from darkroom import plain_files
from darkroom.errors import LineError, NotSavedError, Problem
from darkroom.event_base import Event, Newer
from darkroom.log.journal import frame
from darkroom.log.journal.plate_files import disk_error_text
from darkroom.log.store import durable, locks
from darkroom.log.store.paths import printable

PATIENCE = 1.0
"""How long another writer's lock is waited for, in seconds."""

E = TypeVar("E", bound=Event)


class NotTaken(NotSavedError):
    """This file takes no lines: it cannot be opened, or is too long. Another one may."""


class EventFiles(msgspec.Struct, Generic[E], frozen=True):
    """One kind of files: how their lines are read, how many bytes of one are, and what messages call one."""

    reader: frame.LineReader[E]
    largest: int
    called: str

    def read(self, path: Path) -> tuple[list[E | Newer], list[Problem]]:
        """Return the lines of a file, and what in it cannot be read. A missing file has none."""
        try:
            data = plain_files.read_start(path, self.largest + 1)
        except FileNotFoundError:
            return [], []
        except OSError as error:
            return [], [Problem(printable(path), None, None, f"cannot be read: {plain_files.reason(error)}")]
        lines, problems = self.lines_of(path, data[: self.largest])
        if len(data) > self.largest:
            text = f"longer than {self.largest >> 20} MB: what follows is not read"
            problems.append(Problem(printable(path), None, None, text))
        return lines, problems

    def append(self, path: Path, build: Callable[[int], Sequence[E]], last: int = 0) -> Sequence[E]:
        """Append lines to a file, making it where it is missing; return them, saved.

        `build` gets the number `n` of the first line: one more than the greatest in the file, than `last`,
        and than the file's lines are, for some may not be readable. Raises NotTaken when the file cannot be
        opened or is full; NotSavedError when the disk does not take the lines (the file is then as it was),
        or another writer holds the file for longer than a second; LineError for what cannot be written.
        """
        fd = -1
        try:
            try:
                fd = _opened(path)
            except OSError as error:
                raise NotTaken(f"{self.called} is not saved: {disk_error_text(error)}") from None
            if not locks.lock(fd, wait=PATIENCE):
                raise NotSavedError(f"not saved: another darkroom writes {self.called}")
            size = os.fstat(fd).st_size
            data = _read(fd, self.largest)
            lines, _ = self.lines_of(path, data)
            added = build(1 + max([last, data.count(b"\n"), *(line.n for line in lines)]))
            encoded = b"".join(map(frame.encode, added))
            if size + len(encoded) > self.largest:
                text = f"longer than {self.largest >> 20} MB, more than is read of it"
                raise NotTaken(f"{self.called} is not saved: {printable(path)} would be {text}")
            self._write(fd, encoded if not data or data.endswith(b"\n") else b"\n" + encoded, size)
            durable.sync_names(path.parent, path.parent.parent)
            return added
        except OSError as error:
            raise NotSavedError(f"{self.called} is not saved: {disk_error_text(error)}") from None
        finally:
            if fd >= 0:
                plain_files.close(fd)

    def extend(self, path: Path, data: bytes) -> bool:
        """Let a file hold `data`, whole lines, where what it holds is a beginning of them; return whether.

        A missing file holds nothing, and is made. Raises NotTaken and NotSavedError as `append`; where the
        disk does not take the lines the file is as it was.
        """
        fd = -1
        try:
            try:
                fd = _opened(path)
            except OSError as error:
                raise NotTaken(f"{self.called} is not saved: {disk_error_text(error)}") from None
            if not locks.lock(fd, wait=PATIENCE):
                raise NotSavedError(f"not saved: another darkroom writes {self.called}")
            held = _read(fd, self.largest + 1)
            if not data.startswith(held) or len(data) > self.largest:
                return False
            if len(held) < len(data):
                self._write(fd, data[len(held) :], len(held))
                durable.sync_names(path.parent, path.parent.parent)
            return True
        except OSError as error:
            raise NotSavedError(f"{self.called} is not saved: {disk_error_text(error)}") from None
        finally:
            if fd >= 0:
                plain_files.close(fd)

    def _write(self, fd: int, data: bytes, size: int) -> None:
        """Write at the end of a file of `size` bytes, for good. Raises OSError: the file is as it was."""
        try:
            durable.write_once(fd, data)
            durable.sync(fd)
        except OSError:
            with suppress(OSError):  # where the write failed, cutting back may fail too
                os.ftruncate(fd, size)
            raise

    def lines_of(self, path: Path, data: bytes) -> tuple[list[E | Newer], list[Problem]]:
        """Return the lines of what was read of a file, and what in it cannot be read."""
        frames = data.split(b"\n")
        whole = self.reader.parse_all(frames[:-1]) if not frames[-1] else None
        if whole is not None:
            return whole, []
        lines: list[E | Newer] = []
        problems: list[Problem] = []
        for number, line in enumerate(frames, 1):
            if not line:
                continue
            try:
                lines.append(self.reader.decode(line))
            except LineError as error:
                problems.append(Problem(printable(path), number, None, str(error)))
        return lines, problems


def _opened(path: Path) -> int:
    durable.make_folders(path.parent)
    with suppress(FileExistsError):
        plain_files.close(durable.create(path))
    return durable.append(path)


def _read(fd: int, largest: int) -> bytes:
    os.lseek(fd, 0, os.SEEK_SET)
    return plain_files.read_fd(fd, largest)
