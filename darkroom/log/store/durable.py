"""Durable writes: file and folder operations that reach the disk, and private folders."""

from __future__ import annotations

import errno
import os
import re
import stat
import sys
import threading
from contextlib import suppress
from pathlib import Path

from darkroom import plain_files

if sys.platform == "win32":
    fcntl = None
else:
    import fcntl

NO_SPACE = frozenset({errno.ENOSPC, errno.EDQUOT})
"""The disk is full, or this user's share of it is."""
TRY_AGAIN = NO_SPACE | {errno.EMFILE, errno.ENFILE, errno.ENOMEM, errno.EAGAIN}
"""What passes: the same file is tried again."""
_NO_FOLDER_SYNC = frozenset({errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EBADF})
_CLOEXEC = getattr(os, "O_CLOEXEC", 0)
_BINARY = getattr(os, "O_BINARY", 0)
_NONBLOCK = getattr(os, "O_NONBLOCK", 0)
"""No wait for a file of the kernel; a plain file on a disk is written and read as without it."""
_NOFOLLOW = getattr(os, "O_NOFOLLOW", 0)
_FULLFSYNC = getattr(fcntl, "F_FULLFSYNC", None)


def user_id() -> str:
    """Return the number of this user, or their name where users have no numbers."""
    if sys.platform == "win32":
        import getpass

        return getpass.getuser()
    return str(os.getuid())


def sync(fd: int) -> None:
    """Return when what was written to the file is on the disk. Raises OSError when it is not.

    macOS keeps it in the drive's own memory unless it is asked for F_FULLFSYNC.
    """
    if fcntl is not None and _FULLFSYNC is not None:
        try:
            fcntl.fcntl(fd, _FULLFSYNC)
            return
        except OSError as error:
            if error.errno not in (errno.ENOTSUP, errno.EINVAL, errno.ENOTTY):
                raise
    os.fsync(fd)


def sync_folder(folder: Path) -> None:
    """Return when the names in the folder are on the disk. Raises OSError when they are not."""
    if sys.platform == "win32":
        return
    fd = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | _CLOEXEC)
    try:
        os.fsync(fd)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise
    finally:
        plain_files.close(fd)


def sync_names(folder: Path, top: Path) -> None:
    """Make durable the names in `folder`, and that of each folder above it up to and with `top`.

    A folder that stands elsewhere is made durable alone. One above `folder` that may not be opened
    is passed over.
    """
    sync_folder(folder)
    if top not in folder.parents:
        return
    for above in folder.parents:
        try:
            sync_folder(above)
        except PermissionError:
            continue
        if above == top.parent:
            return


def make_folders(folder: Path) -> None:
    """Make a folder and those above it that are missing, each one durably and for this user alone.

    Raises OSError, FileExistsError where a file has that name.
    """
    if folder.is_dir():
        return
    make_folders(folder.parent)
    try:
        folder.mkdir(0o700)
    except FileExistsError:
        if not folder.is_dir():
            raise
    sync_folder(folder.parent)


def own_folder(folder: Path) -> None:
    """Make a folder that is this user's alone. Raises PermissionError when it is someone else's."""
    make_folders(folder)
    if not is_own(folder):
        raise PermissionError(errno.EPERM, "someone else can write there", str(folder))


def is_own(folder: Path) -> bool:
    """Return whether it is a folder, no link, that only this user can write in."""
    try:
        status = folder.lstat()
    except OSError:
        return False
    if not stat.S_ISDIR(status.st_mode):
        return False
    return sys.platform == "win32" or (status.st_uid == os.getuid() and not status.st_mode & 0o022)


def create(path: Path, mode: int = 0o600) -> int:
    """Open a new file to append to. Raises FileExistsError when it is there already."""
    return os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY | os.O_APPEND | _CLOEXEC | _BINARY, mode)


def append(path: Path) -> int:
    """Open a plain file that exists to read it and append to it. Raises OSError."""
    plain_files.check_plain(path)
    return os.open(path, os.O_RDWR | os.O_APPEND | _NONBLOCK | _CLOEXEC | _BINARY)


def open_or_create(path: Path, flags: int = 0) -> int:
    """Open a file that several programs write in, to read it and write to it; make it where it is missing.

    `flags` are further ones of `os.open`. Raises OSError, NotPlain for a link too.
    """
    with suppress(FileNotFoundError):
        plain_files.check_plain(path, follow_links=False)
    return os.open(path, os.O_RDWR | os.O_CREAT | _NONBLOCK | _NOFOLLOW | _CLOEXEC | _BINARY | flags, 0o600)


def write_once(fd: int, data: bytes) -> None:
    """Write `data` in one call. A short write is an error: the disk is full, or a limit is reached."""
    written = os.write(fd, data)
    if written != len(data):
        os.write(fd, data[written:])  # only to be told why; the caller cuts the file back
        raise OSError(errno.ENOSPC, f"only {written} of {len(data)} bytes were taken")


def is_aside(name: str, of: str) -> bool:
    """Return whether a file's name is that under which `write_whole` writes a file called `of`."""
    return re.fullmatch(re.escape(of) + r"\.\d+\.\d+\.tmp", name, re.ASCII) is not None


def write_whole(path: Path, data: bytes) -> None:
    """Put a whole file in place of another: written aside, made durable, renamed."""
    temporary = path.with_name(f"{path.name}.{os.getpid()}.{threading.get_ident()}.tmp")
    fd = os.open(temporary, os.O_CREAT | os.O_TRUNC | os.O_WRONLY | _CLOEXEC | _BINARY, 0o600)
    try:
        write_once(fd, data)
        sync(fd)
        plain_files.close(fd)
        fd = -1
        os.replace(temporary, path)
    except OSError:
        if fd >= 0:
            plain_files.close(fd)
        with suppress(OSError):
            temporary.unlink()
        raise
    sync_folder(path.parent)
