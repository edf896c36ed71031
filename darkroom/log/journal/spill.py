"""Copying spilled files into the plate's own folder; the originals stay."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from darkroom import plain_files
from darkroom.errors import NotSavedError
from darkroom.log.journal.merge import PlateLog
from darkroom.log.journal.plate_files import disk_error_text
from darkroom.log.journal.read import JournalFile
from darkroom.log.store import durable, locks, paths
from darkroom.log.store.paths import printable


def files_only_outside(home: Path, log: PlateLog) -> list[JournalFile]:
    """Return the plate's files outside the log that hold a line which no file in it holds.

    A file that says it belongs to another log is not ours.
    """
    frames_inside = {
        good_line.frame
        for journal_file in log.journal_files
        if home in journal_file.path.parents
        for good_line in journal_file.good_lines
    }
    return [
        journal_file
        for journal_file in log.journal_files
        if home not in journal_file.path.parents
        and journal_file.home in (None, printable(home))
        and any(
            good_line.frame not in frames_inside
            for good_line in journal_file.good_lines
            if good_line.event.n > 0
        )
    ]


def bring_home(home: Path, log: PlateLog, journal_file: JournalFile) -> Path:
    """Copy a spilled file into its plate's folder, whole lines as they are; return the copy.

    Raises NotSavedError when the disk does not take it, or the day of the plate is lost: nothing of it
    is left behind.
    """
    folder_inside = next(
        (other_file.path.parent for other_file in log.journal_files if home in other_file.path.parents), None
    )
    if folder_inside is None and not log.local_date:
        raise NotSavedError(f"{printable(journal_file.path)}: its day is lost; copy it by hand")
    folder = folder_inside or paths.plate_path(home, log.plate, log.local_date, log.rehearsal).parent
    data = b"".join(good_line.frame + b"\n" for good_line in journal_file.good_lines)
    try:
        durable.make_folders(folder)
        return _copied(folder, log.plate, journal_file.k, data)
    except OSError as error:
        raise NotSavedError(
            f"{printable(journal_file.path)}: not brought home: {disk_error_text(error)}"
        ) from None


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
        with suppress(OSError):  # an incomplete copy is removed: the original is there
            path.unlink()
        raise
    finally:
        plain_files.close(fd)
    return path
