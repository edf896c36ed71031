"""The file `changed` in the folder of the log: each writer adds the path of the journal it wrote to.

Readers that keep an index take it as a hint: what a lost line would have told is found by the next check
of all files. Nothing here raises, and nothing waits long.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from darkroom import plain_files
from darkroom.log.store import durable, locks

NAME = "changed"
LARGEST = 1 << 20
"""A longer file is begun anew."""
PATIENCE = 0.05
"""How long another writer's lock is waited for, in seconds; then the hint is left out."""


def add(home: Path, journal: Path) -> None:
    """Add a journal's path, relative to the folder of the log where it lies inside."""
    try:
        name = os.fsencode(journal.relative_to(home))
    except ValueError:
        name = os.fsencode(journal)
    if b"\n" in name:
        return
    path = home / NAME
    with suppress(OSError):
        fd = _open(path)
        try:
            if not locks.lock(fd, wait=PATIENCE):
                return
            if os.fstat(fd).st_size > LARGEST:
                os.replace(path, path.with_name(f"{NAME}.old"))
                plain_files.close(fd)
                fd = -1
                fd = _open(path)
                if not locks.lock(fd, wait=PATIENCE):
                    return
            os.write(fd, (b"\n" if _is_torn(fd) else b"") + name + b"\n")
        finally:
            if fd >= 0:
                plain_files.close(fd)


def _is_torn(fd: int) -> bool:
    """Whether the last line lacks its end: a full disk took a part of it. The next path begins a new line."""
    size = os.fstat(fd).st_size
    if not size:
        return False
    os.lseek(fd, size - 1, os.SEEK_SET)
    return os.read(fd, 1) != b"\n"


def _open(path: Path) -> int:
    return durable.open_or_create(path, os.O_APPEND)


def since(home: Path, inode: int, offset: int) -> tuple[list[Path] | None, int, int]:
    """Return (journals added since `offset`, inode, offset); the last two are for the next call.

    The journals are None when they cannot be known: the file was begun anew or cut.
    """
    try:
        fd = plain_files.open_plain(home / NAME)
        try:
            status = os.fstat(fd)
            if status.st_ino != inode or status.st_size < offset:
                return None, status.st_ino, status.st_size
            os.lseek(fd, offset, os.SEEK_SET)
            data = plain_files.read_fd(fd, LARGEST * 2)
        finally:
            plain_files.close(fd)
    except OSError:
        return ([] if inode == 0 else None), 0, 0
    whole_lines = data[: data.rfind(b"\n") + 1]
    names = dict.fromkeys(whole_lines.split(b"\n")[:-1])
    return [home / os.fsdecode(name) for name in names], inode, offset + len(whole_lines)
