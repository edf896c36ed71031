"""Whether a plate is surely not on the bench: told without building its lines, for most of many plates."""

from __future__ import annotations

from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.bench import events as ev
from darkroom.errors import LineError
from darkroom.log.journal.frame import is_sound
from darkroom.log.journal.journal_names import FolderCache, files_of
from darkroom.log.journal.plate_lines import READER

LARGEST = 1 << 20
"""A longer journal is read in full, in bytes."""
_ENDED, _UNDONE = (str(kind.__struct_config__.tag) for kind in (ev.PlateEnded, ev.Undone))


class _Mark(msgspec.Struct):
    """What is read of each line."""

    n: int
    event: str


_MARK = msgspec.json.Decoder(_Mark)


def surely_away(path: Path, bench_id: str, folder_cache: FolderCache) -> bool:
    """Return whether the plate has a standing end, or is another bench's, or a rehearsal's.

    True only of one file of sound lines 1, 2, 3 … of which none takes anything back; what a full reading says
    of such a file is the same. False says nothing: the plate is to be read.
    """
    if files_of(path, folder_cache) != [path]:
        return False
    try:
        data = plain_files.read_start(path, LARGEST + 1)
    except (OSError, ValueError):
        return False
    if len(data) > LARGEST or data[-1:] != b"\n" or _UNDONE.encode() in data or b"\\u" in data:
        return False
    lines = data.split(b"\n")[:-1]
    end = None
    try:
        for number, line in enumerate(lines, 1):
            mark = _MARK.decode(line)
            if mark.n != number or not is_sound(line):
                return False
            if mark.event == _ENDED:
                end = line
        if end is not None and isinstance(READER.parse(end), ev.PlateEnded):
            return True
        start = READER.parse(lines[0])
    except (LineError, msgspec.DecodeError, UnicodeDecodeError, RecursionError):
        return False
    return isinstance(start, ev.PlateStarted) and (start.bench != bench_id or start.rehearsal)
