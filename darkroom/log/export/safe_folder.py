"""An export that is a folder: written aside, made durable, then given its name, whole or not at all.

A folder that is there gives way only with `force`, and only when nothing but the files of such an export is
in it. The two change places in one step where the disk can do that; where it cannot, the old folder
stands beside under a name of its own while the new one gets its name.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
import stat
from collections.abc import Callable, Iterator
from pathlib import Path

from darkroom.errors import WrongUse
from darkroom.log.export import part_files, safe_write
from darkroom.log.journal.plate_files import disk_error_text
from darkroom.log.store import durable, file_mask
from darkroom.log.store.exchange import exchange
from darkroom.log.store.paths import printable

Fill = Callable[[Path], None]
"""Writes the files of an export into an empty folder."""


def check(path: Path, home: Path, ours: str, *, force: bool = False) -> Path:
    """Return the path that a folder of an export may have, in the real path of the folder it stands in.

    `ours` matches the path of every file of such an export, counted from its folder, with `/` between names.
    An empty folder may be there. Raises NotReadable when the folder it stands in is not there; WrongUse when
    the name is taken and `force` is not given, for a folder that holds anything else, for what is no folder,
    and for a place that belongs to the journals.
    """
    shown = printable(path)
    target, status = safe_write.place(path, home)
    home = home.resolve()
    if home in (target, *target.parents):
        raise WrongUse(f"{shown} is in the folder of the log; choose a place outside it")
    if status is None:
        return target
    if not stat.S_ISDIR(status.st_mode):
        raise WrongUse(f"{shown} is no folder: name a new one")
    try:
        for file in _files(target):
            if not re.fullmatch(ours, file):
                name = printable(Path(file.rstrip("/?")))
                raise WrongUse(f"{shown} holds {name}, which is no part of an export; choose another folder")
            if not force:
                raise WrongUse(f"{shown} is there already; --force replaces it")
    except OSError as error:
        raise WrongUse(f"{shown} cannot be looked into: {disk_error_text(error)}") from None
    return target


def _files(folder: Path) -> Iterator[str]:
    """Yield the path of each file below a folder; an empty folder's ends with `/`, a link's with `?`."""
    entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    for entry in entries:
        if entry.is_dir(follow_symlinks=False):
            empty = True
            for file in _files(Path(entry.path)):
                empty = False
                yield f"{entry.name}/{file}"
            if empty:
                yield f"{entry.name}/"
        else:
            yield entry.name if entry.is_file(follow_symlinks=False) else f"{entry.name}?"


def write(path: Path, fill: Fill, home: Path, ours: str, *, force: bool = False) -> Path:
    """Write an export's folder whole or not at all, and return where it lies.

    It stands aside under a name of its own until it is durable. Raises NotWritten when the disk does not take
    or keep it (a full disk leaves nothing behind), what `check` raises, and what `fill` raises.
    """
    target = check(path, home, ours, force=force)
    with safe_write.tells_not_written(path):
        part = part_files.PartFolder(target.parent)
        try:
            fill(part.path)
            _settle(part.path, _mode(target))
            check(path, home, ours, force=force)  # what came meanwhile counts too
            _name(part.path, target, force)
        finally:
            part.remove()
    safe_write.keep_names(path, target.parent)
    return target


def _mode(target: Path) -> int:
    """Return the permissions of the folder that is replaced, else what the user's own mask leaves."""
    try:
        return 0o700 | stat.S_IMODE(target.lstat().st_mode)
    except FileNotFoundError:
        return 0o700 | 0o777 & ~file_mask.of_user()


def _settle(folder: Path, mode: int) -> None:
    """Make everything in a folder durable, with the permissions of the folder (files without `x`)."""
    for entry in list(os.scandir(folder)):
        if entry.is_dir(follow_symlinks=False):
            _settle(Path(entry.path), mode)
            continue
        fd = os.open(entry.path, os.O_RDWR | getattr(os, "O_BINARY", 0))
        try:
            safe_write.set_mode(fd, mode & 0o666)
            durable.sync(fd)
        finally:
            os.close(fd)
    folder.chmod(mode)
    durable.sync_folder(folder)


def _name(aside: Path, target: Path, force: bool) -> None:
    """Give the finished folder its name; the one that had it is then where the new one was written."""
    try:
        os.rename(aside, target)  # over nothing, or over an empty folder
        return
    except OSError:
        if not target.is_dir() or target.is_symlink():
            raise
    if not force:
        raise WrongUse(f"{printable(target)} is there already; --force replaces it")
    if exchange(aside, target):
        return
    beside = target.with_name(f"{target.name}.old-{secrets.token_hex(3)}")
    os.rename(target, beside)
    try:
        os.rename(aside, target)
    except OSError:
        os.rename(beside, target)
        raise
    shutil.rmtree(beside, ignore_errors=True)
