"""Advisory locks on open files."""

from __future__ import annotations

import errno
import os
import sys
import threading
import time

if sys.platform == "win32":
    import msvcrt

    fcntl = None
else:
    import fcntl


def lock(fd: int, *, shared: bool = False, wait: float = 0.0) -> bool:
    """Take the lock of an open file, waiting at most `wait` seconds; return whether it was taken.

    On a file system without locks, or one whose locks fail, it counts as taken: nothing is kept from being
    saved by them. Closing the file gives it back.
    """
    until = time.monotonic() + wait
    pause = threading.Event()
    while True:
        taken = _try_lock(fd, shared) is not False
        if taken or time.monotonic() >= until:
            return taken
        pause.wait(0.02)


_LOCKED_BYTE = 1 << 40
"""Where Windows locks: far behind anything that is read."""


def lock_for_certain(fd: int) -> bool:
    """Take the lock of an open file, without waiting; return whether it was taken.

    On a file system without locks, or one whose locks fail, it was not.
    """
    return _try_lock(fd, shared=False) is True


def _try_lock(fd: int, shared: bool) -> bool | None:
    """Return whether the lock was taken; None where the file system has none to give."""
    try:
        if fcntl is not None:
            fcntl.flock(fd, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
        elif sys.platform == "win32":
            os.lseek(fd, _LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)
    except OSError as error:
        if error.errno in (errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK):
            return False
        if error.errno == errno.EBADF:
            raise
        return None
    return True
