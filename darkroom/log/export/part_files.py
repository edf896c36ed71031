"""The hidden file an export is written into before it has its name, and what a killed export left of one.

Who writes one holds its lock until it has its name, so a file whose lock is free is nobody's.
"""

from __future__ import annotations

import os
import re
import secrets
import stat
import sys
from contextlib import suppress
from pathlib import Path

from darkroom.log.store import locks

_NAME = re.compile(r"\.export-[0-9a-f]{12}\.part")
_FLAGS = getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
_LEFT_FLAGS = os.O_RDWR | _FLAGS | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
_CLOSED_BEFORE_NAMING = sys.platform == "win32"
"""An open file cannot be renamed there; so no lock stands when it gets its name, and none is cleared."""


class PartFile:
    """A new file in a folder, open to be written into `fd`, and locked. Raises OSError."""

    def __init__(self, folder: Path) -> None:
        """Make it. One that `clear_left` takes for nobody's before it is locked is made anew."""
        while True:
            self.path = folder / f".export-{secrets.token_hex(6)}.part"
            flags = os.O_CREAT | os.O_EXCL | os.O_WRONLY | os.O_APPEND | _FLAGS
            self.fd = os.open(self.path, flags, 0o666)
            try:
                if _CLOSED_BEFORE_NAMING or (locks.lock(self.fd) and os.fstat(self.fd).st_nlink):
                    return
            except OSError:
                self.remove()
                raise
            self._close()

    def finish(self) -> None:
        """Call when all is written and synced, before the file gets its name."""
        if _CLOSED_BEFORE_NAMING:
            self._close()

    def remove(self) -> None:
        """Remove the hidden name, whether or not the file has another, and close the file. Raises nothing."""
        self.finish()
        with suppress(OSError):  # a name that stays is cleared by a later export
            self.path.unlink()
        self._close()

    def _close(self) -> None:
        fd, self.fd = self.fd, -1
        if fd >= 0:
            with suppress(OSError):  # what counts is synced
                os.close(fd)


def clear_left(folder: Path) -> None:
    """Remove the files that killed exports of this user left in a folder; those in use stay. Raises nothing.

    On a file system without locks, and on Windows, nobody can tell which are in use: all stay.
    """
    if _CLOSED_BEFORE_NAMING:
        return
    with suppress(OSError), os.scandir(folder) as entries:
        for name in [entry.name for entry in entries if _NAME.fullmatch(entry.name)]:
            with suppress(OSError):
                _clear(folder / name)


def _clear(path: Path) -> None:
    status = path.lstat()
    if not stat.S_ISREG(status.st_mode) or status.st_uid != os.getuid():
        return
    fd = os.open(path, _LEFT_FLAGS)
    try:
        if locks.lock_for_certain(fd):
            path.unlink()
    finally:
        os.close(fd)
