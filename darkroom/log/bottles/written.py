"""Which lines this machine has written into each bottle's file, kept outside the log.

An older copy put over a file of ours ends too early, and nothing in the log can tell. One small file a log,
in the machine's state folder: {"<bottle>/<bench>": [`n` of the first line that is kept here, the greatest
`n`]}. It is a help and no record: where it is missing, damaged or cannot be written, nothing is known and
nothing fails; deleted, it begins anew.
"""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress
from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.errors import NotReadable
from darkroom.log.store import durable, locks
from darkroom.log.store.paths import state_dir

LARGEST = 1 << 24
PATIENCE = 0.5
"""How long another program's note is waited for, in seconds."""
_READER = msgspec.json.Decoder(dict[str, tuple[int, int]])


def spans(home: Path) -> dict[tuple[str, str], tuple[int, int]]:
    """Return {(bottle, bench): the first and the greatest `n` that are kept} for a log. Raises nothing."""
    try:
        data = plain_files.read_start(_place(home), LARGEST)
        known = _READER.decode(data)
    except (OSError, NotReadable, msgspec.DecodeError, UnicodeDecodeError):
        return {}
    return {(place.partition("/")[0], place.partition("/")[2]): span for place, span in known.items()}


def highest(home: Path, bottle: str, bench: str) -> int:
    """Return the greatest `n` that this machine has written into a bottle's file, 0 where none is known."""
    return spans(home).get((bottle, bench), (0, 0))[1]


def keep(home: Path, bottle: str, bench: str, first: int, last: int) -> None:
    """Keep that the lines `first` to `last` were written. Raises nothing: the lines are in the book."""
    with suppress(OSError, NotReadable):
        place = _place(home)
        durable.make_folders(place.parent)
        fd = durable.open_or_create(place.with_suffix(".lock"))
        try:
            if locks.lock(fd, wait=PATIENCE):
                known = spans(home)
                begun, most = known.get((bottle, bench), (first, last))
                known[bottle, bench] = (begun, max(last, most))
                named = {f"{one}/{by}": span for (one, by), span in sorted(known.items())}
                durable.write_whole(place, msgspec.json.encode(named))
        finally:
            plain_files.close(fd)


def _place(home: Path) -> Path:
    """Return the file of a log: a copy of the log elsewhere has one of its own."""
    name = hashlib.sha256(os.fsencode(home.resolve())).hexdigest()[:16]
    return state_dir() / "bottles" / f"{name}.json"
