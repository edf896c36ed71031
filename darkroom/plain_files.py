"""Reading the start of a plain file, and of nothing else: the one way in for files that others may have made.

A name in the folder of the log may lead to a pipe, a device, a folder or a file of any length. Only a plain
file is opened, it is never waited for, and no more of it is read than was asked for.
"""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path

_FLAGS = (
    os.O_RDONLY
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_NOCTTY", 0)
    | getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_BINARY", 0)
)
_PIECE = 1 << 20


class NotPlain(OSError):
    """What is there is no plain file; `strerror` says what it is."""


def check_plain(path: Path, *, follow_links: bool = True) -> None:
    """Raise OSError unless it is a plain file, or a link to one that is followed. Nothing is opened."""
    try:
        status = path.stat(follow_symlinks=follow_links)
    except ValueError:
        raise OSError(errno.EINVAL, "no file can be called so") from None
    _refuse_others(status)


def open_plain(path: Path) -> int:
    """Open a plain file to read it; return the descriptor. Raises OSError, NotPlain for another kind."""
    check_plain(path)  # a device may act when it is opened, so this comes first
    fd = os.open(path, _FLAGS)
    try:
        _refuse_others(os.fstat(fd))
    except NotPlain:
        close(fd)
        raise
    return fd


def read_start(path: Path, most: int) -> bytes:
    """Return the first `most` bytes of a plain file, or all of a shorter one. Raises OSError as `open_plain`.

    The length that a file says it has is not believed: those of the kernel say 0, a growing one too little.
    """
    fd = open_plain(path)
    try:
        return read_fd(fd, most)
    finally:
        close(fd)


def read_fd(fd: int, most: int) -> bytes:
    """Return what follows in an open file, `most` bytes at most. Raises OSError."""
    pieces: list[bytes] = []
    while most > 0:
        piece = os.read(fd, min(most, _PIECE))
        if not piece:
            break
        pieces.append(piece)
        most -= len(piece)
    return b"".join(pieces)


def close(fd: int) -> None:
    """Close an open file, whatever the system says: its number is free, and nothing is saved by closing."""
    with suppress(OSError):
        os.close(fd)


def files_like(folder: Path, pattern: str) -> list[Path]:
    """Return what matches in a folder, sorted; nothing of one that may not be looked into."""
    try:
        return sorted(folder.glob(pattern))
    except OSError:
        return []


def reason(error: OSError) -> str:
    """Return why a file could not be read, in words."""
    return error.strerror or str(error)


def _refuse_others(status: os.stat_result) -> None:
    if stat.S_ISDIR(status.st_mode):
        raise NotPlain(errno.EISDIR, "a folder, not a plain file")
    if not stat.S_ISREG(status.st_mode):
        raise NotPlain(errno.EINVAL, "not a plain file")
