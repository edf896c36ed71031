"""Two names change places in one step, where the system and the disk can do that."""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from pathlib import Path

_CANNOT = frozenset({errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP})
_AT_FDCWD = -100
"""A path counts from the working folder (linux/fcntl.h)."""
_RENAME_EXCHANGE = 2
"""linux/fs.h; see renameat2(2)."""
_RENAME_SWAP = 2
"""macOS: sys/stdio.h; see renamex_np(2)."""


def exchange(one: Path, other: Path) -> bool:
    """Let two files or folders of one disk have each other's name; there is no moment between.

    Returns False, with nothing done, where the system or the disk has no such call. Raises OSError.
    """
    if sys.platform == "win32":
        return False
    system = ctypes.CDLL(None, use_errno=True)
    names = os.fsencode(one), os.fsencode(other)
    if sys.platform == "darwin":
        call = getattr(system, "renamex_np", None)
        failed = call is None or call(*names, ctypes.c_uint(_RENAME_SWAP))
    else:
        call = getattr(system, "renameat2", None)
        failed = call is None or call(
            _AT_FDCWD, names[0], _AT_FDCWD, names[1], ctypes.c_uint(_RENAME_EXCHANGE)
        )
    if call is None:
        return False
    if not failed:
        return True
    number = ctypes.get_errno()
    if number in _CANNOT:
        return False
    raise OSError(number, os.strerror(number), str(one), None, str(other))
