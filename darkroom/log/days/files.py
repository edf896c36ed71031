"""The files of the days: `days/<date>.<bench>.jsonl` in the folder of the log, read and appended to.

Reading locks nothing and never raises; a line that cannot be read is a problem, and the others count.
Whoever appends holds the file's lock from reading its end until after its fsync: the full-screen tool and
`darkroom day` may write the same day.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Sequence
from contextlib import suppress
from datetime import date, timedelta
from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.errors import NotSavedError, Problem
from darkroom.log.days.events import READER, Day, DayEvent, SeenTo, with_line
from darkroom.log.journal import frame
from darkroom.log.journal.plate_files import disk_error_text
from darkroom.log.store import durable, locks

FOLDER = "days"
LARGEST = 1 << 20
"""A day's file is read so far, in bytes: a sheet gone through a thousand times is shorter."""
PATIENCE = 1.0
"""How long another writer's lock is waited for, in seconds."""


def path_of(home: Path, day: str, bench: str) -> Path:
    """Return the file of a day (YYYY-MM-DD) at a bench."""
    return home / FOLDER / f"{day}.{bench}.jsonl"


def read_day(home: Path, day: str, bench: str) -> tuple[Day, list[Problem]]:
    """Return a day as its file tells it, and what in the file cannot be read. Raises nothing."""
    path = path_of(home, day, bench)
    data, problem = _bytes_of(path)
    lines, problems = _lines(path, data)
    told = Day(date=day)
    for line in lines:
        told = with_line(told, line)
    return told, [*([problem] if problem else []), *problems]


def read_all(home: Path) -> tuple[int, list[Problem]]:
    """Return how many days' files there are, of any bench, and what in them cannot be read."""
    problems: list[Problem] = []
    paths = plain_files.files_like(home / FOLDER, "*.jsonl")
    for path in paths:
        data, problem = _bytes_of(path)
        problems += [*([problem] if problem else []), *_lines(path, data)[1]]
    return len(paths), problems


def last_seen(home: Path, day: str, bench: str, ids: Collection[str], days: int) -> dict[str, str]:
    """Return {id: the day it was seen to last} for items seen to within `days` days up to `day`."""
    found: dict[str, str] = {}
    last = date.fromisoformat(day)
    for back in range(days + 1):
        name = (last - timedelta(days=back)).isoformat()
        path = path_of(home, name, bench)
        for line in _lines(path, _bytes_of(path)[0])[0]:
            if isinstance(line, SeenTo) and line.id in ids:
                found.setdefault(line.id, name)
    return found


def append(path: Path, build: Callable[[int], Sequence[DayEvent]]) -> Sequence[DayEvent]:
    """Append lines to a day's file, making it where it is missing; return them, saved.

    `build` gets the number `n` of the first line. Raises NotSavedError when the disk does not take them
    (the file is then as it was), or another writer holds the file for longer than a second.
    """
    fd = -1
    try:
        fd = _opened(path)
        if not locks.lock(fd, wait=PATIENCE):
            raise NotSavedError("not saved: another darkroom writes the day's sheet")
        size = os.fstat(fd).st_size
        data = _read(fd)
        lines, _ = _lines(path, data)
        added = build(1 + max((line.n for line in lines), default=0))
        encoded = b"".join(map(frame.encode, added))
        try:
            durable.write_once(fd, encoded if not data or data.endswith(b"\n") else b"\n" + encoded)
            durable.sync(fd)
        except OSError:
            with suppress(OSError):  # where the write failed, cutting back may fail too
                os.ftruncate(fd, size)
            raise
        durable.sync_names(path.parent, path.parent.parent)
        return added
    except OSError as error:
        raise NotSavedError(f"the day's sheet is not saved: {disk_error_text(error)}") from None
    finally:
        if fd >= 0:
            plain_files.close(fd)


def _opened(path: Path) -> int:
    durable.make_folders(path.parent)
    with suppress(FileExistsError):
        plain_files.close(durable.create(path))
    return durable.append(path)


def _read(fd: int) -> bytes:
    os.lseek(fd, 0, os.SEEK_SET)
    return plain_files.read_fd(fd, LARGEST)


def _bytes_of(path: Path) -> tuple[bytes, Problem | None]:
    """Return the start of a plain file, and why it could not be read."""
    try:
        return plain_files.read_start(path, LARGEST), None
    except FileNotFoundError:
        return b"", None
    except OSError as error:
        return b"", Problem(str(path), None, None, f"cannot be read: {plain_files.reason(error)}")


def _lines(path: Path, data: bytes) -> tuple[list[DayEvent], list[Problem]]:
    lines: list[DayEvent] = []
    problems: list[Problem] = []
    for number, line in enumerate(data.split(b"\n"), 1):
        if not line:
            continue
        if not frame.is_sound(line):
            problems.append(Problem(str(path), number, None, "not a whole line, or its sum is not right"))
            continue
        try:
            lines.append(READER.decode(line))
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
            problems.append(Problem(str(path), number, None, f"a line this version does not know: {error}"))
    return lines, problems
