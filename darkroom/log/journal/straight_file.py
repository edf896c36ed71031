"""The short way to read a plate whose journal is one whole file in order: for going through many plates.

The long way, `read.read_file` and `merge.merge`, reads every journal and says what is wrong with it. This one
answers only where nothing is, and then as the long way does; `tests/log/journal/test_straight_file.py`
compares them.
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import Any

from darkroom.bench import events as ev
from darkroom.log.journal import merge, read
from darkroom.log.journal.plate_lines import READER

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def straight_log(path: Path, plate: str) -> merge.PlateLog | None:
    """Return the plate of a single file, without `journal_files` and `frames`; None for the long way.

    Its lines are sound and known, 1, 2, 3 …, with its own start first and nothing taken back. Raises nothing.
    """
    try:
        data, cut_off = read.bytes_of(path)
    except (OSError, ValueError):
        return None
    return None if cut_off else log_of(path, plate, data)


def log_of(path: Path, plate: str, data: bytes) -> merge.PlateLog | None:
    """Return the plate of a file's bytes; see `straight_log`."""
    frames = data.split(b"\n")
    if frames.pop() or not frames:
        return None
    lines: list[Any] | None = READER.parse_all(frames, data)
    if lines is None or [line.n for line in lines] != list(range(1, len(lines) + 1)):
        return None
    start, kinds = lines[0], [line.__class__ for line in lines]
    if kinds.count(ev.PlateStarted) != 1 or kinds[0] is not ev.PlateStarted or start.plate != plate:
        return None
    if ev.Undone in kinds or ev.Continued in kinds:
        return None
    log = merge.PlateLog(
        plate=plate,
        files=(path,),
        events=tuple(lines),
        problems=(),
        schema=start.schema,
        local_date=_day(path.parent.name) or start.at[:10],
        journal_files=(),
        frames={},
    )
    # What its properties would find anew; none of these lines was taken back.
    ended = next((line for line in reversed(lines) if line.__class__ is ev.PlateEnded), None)
    log.__dict__.update(standing=log.events, start=start, ended=ended)
    return log


@lru_cache(maxsize=64)
def _day(folder: str) -> str | None:
    return folder if _DAY.fullmatch(folder) else None
