"""Many files of one export in one folder, each put on the disk as `safe_write` does it.

The folder is looked at with the first file, and its names are made durable once, when all files have theirs.
"""

from __future__ import annotations

import os
from pathlib import Path

from darkroom import plain_files
from darkroom.log.export import safe_write
from darkroom.log.store import durable


class SafeFiles:
    """The files of an export in a folder; `home` is the folder of the log."""

    def __init__(self, folder: Path, home: Path, *, force: bool = False) -> None:
        self._given, self._home, self._force = folder, home, force
        self._real: Path | None = None
        self._in_log = self._names_wait = False

    def check(self, name: str) -> Path:
        """Return the path that a file may have, in the real path of the folder.

        Raises as `safe_write.check` does: for the folder only with the first file.
        """
        path = self._given / name
        if self._real is None:
            target, status = safe_write.place(path, self._home)
            self._real, self._in_log = target.parent, self._home.resolve() in target.parents
        else:
            target = self._real / name
            status = safe_write.status_of(path, target)
        if status is not None:
            safe_write.check_taken(path, target, status, force=self._force, in_log=self._in_log)
        return target

    def write(self, name: str, data: bytes) -> Path:
        """Write a file whole or not at all, and return where it lies; its name waits for `keep_names`.

        A file that is there and has these very bytes stays as it is: it is made durable, not replaced. Raises
        what `check` raises, and NotWritten when the disk does not take it.
        """
        target = self.check(name)
        self._names_wait = True
        if self._force and _is_kept(target, data):
            return target
        with safe_write.tells_not_written(self._given / name):
            safe_write.put(target, [data], force=self._force)
        return target

    def keep_names(self) -> None:
        """Make the names of all files that were written durable. Raises NotWritten when they are not."""
        if self._names_wait and self._real is not None:
            safe_write.keep_names(self._given, self._real)
            self._names_wait = False


def _is_kept(path: Path, data: bytes) -> bool:
    """Return whether a plain file holds these bytes, and the disk has them. Raises nothing."""
    try:
        fd = plain_files.open_plain(path)
        try:
            if os.fstat(fd).st_size != len(data) or plain_files.read_fd(fd, len(data) + 1) != data:
                return False
            durable.sync(fd)
        finally:
            plain_files.close(fd)
    except OSError:  # where a file that is open to be read cannot be synced, it is written anew
        return False
    return True
