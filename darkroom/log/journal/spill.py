"""Spilled files brought home by copy: the lines go into the plate's own folder, the originals stay."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from darkroom.errors import NotSavedError
from darkroom.log.journal.merge import PlateLog
from darkroom.log.journal.plate_files import words
from darkroom.log.journal.read import FileRead
from darkroom.log.store import durable, locks, paths
from darkroom.log.store.paths import printable


def away(home: Path, log: PlateLog) -> list[FileRead]:
    """Return the plate's files outside the log that hold a line which no file in it holds.

    A file that says it belongs to another log is not ours.
    """
    inside = {kept.frame for part in log.parts if home in part.path.parents for kept in part.kept}
    return [
        part
        for part in log.parts
        if home not in part.path.parents
        and part.home in (None, str(home))
        and any(kept.frame not in inside for kept in part.kept if kept.event.n > 0)
    ]


def bring(home: Path, log: PlateLog, part: FileRead) -> Path:
    """Copy a spilled file into its plate's folder, whole lines as they are; return the copy.

    Raises NotSavedError when the disk does not take it, or the day of the plate is lost: nothing of it
    is left behind.
    """
    inside = next((one.path.parent for one in log.parts if home in one.path.parents), None)
    if inside is None and not log.local_date:
        raise NotSavedError(f"{printable(part.path)}: its day is lost; copy it by hand")
    folder = inside or paths.plate_path(home, log.plate, log.local_date, log.rehearsal).parent
    data = b"".join(kept.frame + b"\n" for kept in part.kept)
    try:
        durable.make_folders(folder)
        return _copied(folder, log.plate, part.k, data)
    except OSError as error:
        raise NotSavedError(f"{printable(part.path)}: not brought home: {words(error)}") from None


def _copied(folder: Path, plate: str, k: int, data: bytes) -> Path:
    """Write the bytes under the file's own number, or the next one that is free."""
    while True:
        path = folder / (f"{plate}.jsonl" if k == 1 else f"{plate}.{k}.jsonl")
        try:
            fd = durable.create(path)
            break
        except FileExistsError:
            k += 1
    try:
        locks.lock(fd)
        durable.write_once(fd, data)
        durable.sync(fd)
        durable.sync_folder(folder)
    except OSError:
        with suppress(OSError):  # a part of a copy is worth nothing: the original is there
            path.unlink()
        raise
    finally:
        os.close(fd)
    return path
