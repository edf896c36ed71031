"""The hidden file or folder an export is written into before it has its name, and what a killed export left.

Who writes a file holds its lock until it has its name, so a file whose lock is free is nobody's. A hidden
folder has such a file beside it for as long as it is written; without that file it is nobody's.
"""

from __future__ import annotations

import os
import secrets
import shutil
import stat
import sys
from contextlib import suppress
from pathlib import Path

from darkroom import plain_files
from darkroom.late_patterns import late_pattern
from darkroom.log.store import durable, locks

_TRIES = 5
_NAME = late_pattern(r"\.export-[0-9a-f]{12}\.part")
_FOLDER_NAME = late_pattern(r"(\.export-[0-9a-f]{12}\.part)s")
_FLAGS = getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
_LEFT_FLAGS = os.O_RDWR | _FLAGS | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
_CLOSED_BEFORE_NAMING = sys.platform == "win32"
"""An open file cannot be renamed there; so no lock stands when it gets its name, and none is cleared."""


class PartFile:
    """A new file in a folder, open to be written into `fd`, and locked. Raises OSError."""

    def __init__(self, folder: Path) -> None:
        """Make it. One that `clear_left` takes for nobody's before it is locked is made anew, a few times.

        After these it is taken as it is: there are disks that know neither locks nor how many names a file
        has.
        """
        for tries_left in reversed(range(_TRIES)):
            self.path = folder / f".export-{secrets.token_hex(6)}.part"
            self.fd = durable.create(self.path, 0o666)
            try:
                if _CLOSED_BEFORE_NAMING or not tries_left:
                    return
                if locks.lock(self.fd) and os.fstat(self.fd).st_nlink:
                    return
            except OSError:
                self.remove()
                raise
            self.remove()

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
            plain_files.close(fd)  # what counts is synced


class PartFolder:
    """A new hidden folder in a folder, `path`, and the locked file beside it. Raises OSError."""

    def __init__(self, folder: Path) -> None:
        self._file = PartFile(folder)
        self.path = self._file.path.with_name(f"{self._file.path.name}s")
        try:
            self.path.mkdir(0o700)
        except OSError:
            self._file.remove()
            raise

    def remove(self) -> None:
        """Remove what has the hidden name, if anything has, then the file beside it. Raises nothing."""
        shutil.rmtree(self.path, ignore_errors=True)  # what stays is cleared by a later export
        self._file.remove()


def clear_left(folder: Path) -> None:
    """Remove what killed exports of this user left in a folder; what is in use stays. Raises nothing.

    On a file system without locks, and on Windows, nobody can tell which are in use: all stay.
    """
    if _CLOSED_BEFORE_NAMING:
        return
    with suppress(OSError), os.scandir(folder) as entries:
        names = [entry.name for entry in entries]
        for name in filter(_NAME.fullmatch, names):
            with suppress(OSError):
                _clear(folder / name)
        for name in names:
            if (found := _FOLDER_NAME.fullmatch(name)) and not os.path.lexists(folder / found[1]):
                with suppress(OSError):
                    _clear_folder(folder / name)


def _clear_folder(path: Path) -> None:
    status = path.lstat()
    if stat.S_ISDIR(status.st_mode) and status.st_uid == os.getuid():
        shutil.rmtree(path)


def _clear(path: Path) -> None:
    status = path.lstat()
    if not stat.S_ISREG(status.st_mode) or status.st_uid != os.getuid():
        return
    fd = os.open(path, _LEFT_FLAGS)
    try:
        if locks.lock_for_certain(fd):
            path.unlink()
    finally:
        plain_files.close(fd)
