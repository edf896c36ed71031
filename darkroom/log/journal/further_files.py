"""A further file of a plate: where its journal goes on when the file before it takes no more lines."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from darkroom import plain_files
from darkroom.log.journal.journal_names import names_in, plate_of_name
from darkroom.log.store import durable, locks


def begin_file(folder: Path, plate: str, number: int, data: bytes) -> tuple[Path, int, int]:
    """Write `data` durably to a new file of the plate in `folder`; return path, number, and the open file.

    Its number is `number` or the next that is free in the folder; the file is locked. Raises OSError, and
    leaves nothing behind.
    """
    used = [name.k for text in names_in(folder) if (name := plate_of_name(text)) and name.plate == plate]
    number = max([number, *(k + 1 for k in used)])
    fd = -1
    while fd < 0:
        path = folder / f"{plate}.{number}.jsonl"
        try:
            fd = durable.create(path)
        except FileExistsError:
            number += 1
    try:
        locks.lock(fd)
        durable.write_once(fd, data)
        durable.sync(fd)
        durable.sync_folder(folder)
    except BaseException:
        plain_files.close(fd)
        with suppress(OSError):  # nothing in it was ever saved
            path.unlink()
        raise
    return path, number, fd
