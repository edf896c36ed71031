"""Putting an export on the disk: written aside, made durable, then given its name; never over another."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from darkroom import plain_files
from darkroom.errors import NotReadable, NotWritten, WrongUse
from darkroom.log.export.part_files import PartFile
from darkroom.log.journal import frame, read
from darkroom.log.journal.journal_names import plate_of
from darkroom.log.journal.plate_files import disk_error_text
from darkroom.log.store import durable, file_mask, paths

_CHUNK = 1 << 18
_NO_LINKS = frozenset(
    {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK, errno.EACCES}
)
"""A disk, or a folder, where a file has one name and no second."""


def check(path: Path, home: Path, *, force: bool = False) -> Path:
    """Return the path an export may go to, in the real path of its folder; `home` is the folder of the log.

    Raises NotReadable when its folder is not there; WrongUse when the name is taken and `force` is not
    given, when it is no ordinary file, and for a place that belongs to the journals. A link is never
    written through, with `force` neither: what it leads to may be another's.
    """
    target, status = place(path, home)
    if status is not None:
        check_taken(path, target, status, force=force, in_log=home.resolve() in target.parents)
    return target


def place(path: Path, home: Path) -> tuple[Path, os.stat_result | None]:
    """Return the path of an export in the real path of its folder, and the status of what has that name.

    Raises NotReadable when its folder is not there, WrongUse for a place that belongs to the journals.
    """
    try:
        full = path.expanduser()
        target = full.resolve() if full.name in ("", "..") else full.parent.resolve() / full.name
    except (OSError, RuntimeError, ValueError) as error:
        raise _not_readable(path, error) from None
    status = status_of(path, target)
    if not target.parent.is_dir():
        folder = paths.printable(target.parent)
        raise NotReadable(f"{paths.printable(path)}: there is no folder {folder}")
    home = home.resolve()
    if any((home / shelf) in target.parents for shelf in (paths.PLATES, paths.REHEARSALS)):
        raise WrongUse(f"{paths.printable(path)}: that folder belongs to the journals; choose another")
    return target, status


def status_of(path: Path, target: Path) -> os.stat_result | None:
    """Return the status of what has the name of an export; None where the name is free. Raises NotReadable.

    `path` is the export's as it was given, `target` the real one.
    """
    try:
        return target.lstat()
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as error:
        raise _not_readable(path, error) from None


def _not_readable(path: Path, error: Exception) -> NotReadable:
    said = disk_error_text(error) if isinstance(error, OSError) else error
    return NotReadable(f"{paths.printable(path)}: {said}")


def check_taken(path: Path, target: Path, status: os.stat_result, *, force: bool, in_log: bool) -> None:
    """Raise WrongUse unless `force` is given and what has the name of an export may be replaced.

    `in_log` says that it lies in the folder of the log, of which nothing is ever replaced.
    """
    shown = paths.printable(path)
    if stat.S_ISLNK(status.st_mode):
        if target.is_dir():
            raise WrongUse(f"{shown} is a link to a folder; name a file in it")
        raise WrongUse(f"{shown} is a link, which is never written through; name the file it leads to")
    if stat.S_ISDIR(status.st_mode):
        raise WrongUse(f"{shown} is a folder; name a file in it")
    if not stat.S_ISREG(status.st_mode):
        raise WrongUse(f"{shown} is no ordinary file")
    if not force:
        raise WrongUse(f"{shown} is there already; --force replaces it")
    if in_log or _is_journal(target):
        raise WrongUse(f"{shown} belongs to the log and is never replaced; choose another name")


def _is_journal(path: Path) -> bool:
    """Whether it is a file of a plate's journal, by its name or, under another name, by its first line."""
    name = plate_of(path)
    if name is None:
        return False
    if paths.is_plate_id(name.plate):
        return True
    try:
        return frame.is_sound(plain_files.read_start(path, read.FIRST_LINES).partition(b"\n")[0])
    except OSError:
        return True  # nobody can tell


def write(path: Path, data: Iterable[bytes], home: Path, *, force: bool = False) -> Path:
    """Write an export whole or not at all, and return where it lies.

    It stands aside under a name of its own until it is durable; a file that is there stays as it is
    unless `force` is given, also one that appears meanwhile. Raises NotWritten when the disk does not
    take or keep it (a full disk leaves nothing behind), and what `check` raises.
    """
    target = check(path, home, force=force)
    with tells_not_written(path):
        put(target, data, force=force)
    keep_names(path, target.parent)
    return target


def put(target: Path, data: Iterable[bytes], *, force: bool) -> None:
    """Write a file aside, make it durable, and give it its name, which `check` has looked at.

    Raises OSError, and WrongUse where the name is taken meanwhile and `force` is not given.
    """
    part = PartFile(target.parent)
    try:
        _pour(part.fd, data)
        _keep_mode(part.fd, target)
        durable.sync(part.fd)
        part.finish()
        _name(part.path, target, force)
    finally:
        part.remove()


@contextmanager
def tells_not_written(path: Path) -> Iterator[None]:
    """Let a disk that does not take an export be told: an OSError is raised as NotWritten."""
    try:
        yield
    except OSError as error:
        raise NotWritten(f"{paths.printable(path)}: not written: {disk_error_text(error)}") from None


def keep_names(path: Path, folder: Path) -> None:
    """Make the new names in the folder of an export durable. Raises NotWritten when they are not."""
    try:
        durable.sync_folder(folder)
    except OSError as error:
        shown = paths.printable(path)
        raise NotWritten(
            f"{shown}: written, but it may not outlast a power cut: {disk_error_text(error)}"
        ) from None


def _pour(fd: int, data: Iterable[bytes]) -> None:
    """Write everything, in pieces of a fair size."""
    waiting = bytearray()
    for piece in data:
        waiting += piece
        if len(waiting) >= _CHUNK:
            _all(fd, waiting)
            waiting.clear()
    _all(fd, waiting)


def _all(fd: int, data: bytearray) -> None:
    view = memoryview(data)
    try:
        while view:
            written = os.write(fd, view)
            rest = view[written:]
            view.release()
            view = rest
    finally:
        view.release()


def _keep_mode(fd: int, target: Path) -> None:
    """Give the new file the permissions of the one it replaces, else what the user's own mask leaves."""
    mode = 0o600 | 0o666 & ~file_mask.of_user()
    with suppress(OSError):
        mode = stat.S_IMODE(target.lstat().st_mode)
    set_mode(fd, mode)


def set_mode(fd: int, mode: int) -> None:
    """Set the permissions of an open file, on a disk that has any. Raises nothing."""
    if hasattr(os, "fchmod"):
        with suppress(OSError):
            os.fchmod(fd, mode)


def _name(aside: Path, target: Path, force: bool) -> None:
    """Give the finished file its name. Without `force` one that appeared meanwhile is left alone."""
    if force:
        os.replace(aside, target)
        return
    try:
        os.link(aside, target)
    except FileExistsError:
        raise WrongUse(f"{paths.printable(target)} is there already; --force replaces it") from None
    except (OSError, NotImplementedError) as error:
        if isinstance(error, OSError) and error.errno not in _NO_LINKS:
            raise
        _claim(aside, target)


def _claim(aside: Path, target: Path) -> None:
    """Where a disk knows no second names: take the name with an empty file, then put ours over it."""
    try:
        os.close(durable.create(target))
    except FileExistsError:
        raise WrongUse(f"{paths.printable(target)} is there already; --force replaces it") from None
    os.replace(aside, target)
