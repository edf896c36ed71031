"""How many lines this machine has written into each bottle's file, kept outside the log.

An older copy put over a file of ours ends too early, and nothing in the log can tell. One small file a log,
in the machine's state folder: {"<bottle>/<bench>": the greatest `n`}. It is a help and no record: where it
is missing, damaged or cannot be written, nothing is known and nothing fails.
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
_READER = msgspec.json.Decoder(dict[str, int])


def highest(home: Path) -> dict[tuple[str, str], int]:
    """Return {(bottle, bench): the greatest `n` that this machine has written} for a log. Raises nothing."""
    try:
        data = plain_files.read_start(_place(home), LARGEST)
        known = _READER.decode(data)
    except (OSError, NotReadable, msgspec.DecodeError, UnicodeDecodeError):
        return {}
    return {(place.partition("/")[0], place.partition("/")[2]): n for place, n in known.items()}


def keep(home: Path, bottle: str, bench: str, n: int) -> None:
    """Keep that the line `n` was written. Raises nothing: the line itself is in the book."""
    with suppress(OSError, NotReadable):
        place = _place(home)
        durable.make_folders(place.parent)
        fd = durable.open_or_create(place.with_suffix(".lock"))
        try:
            if locks.lock(fd, wait=PATIENCE):
                known = highest(home)
                known[bottle, bench] = max(n, known.get((bottle, bench), 0))
                named = {f"{one}/{by}": last for (one, by), last in sorted(known.items())}
                durable.write_whole(place, msgspec.json.encode(named))
        finally:
            plain_files.close(fd)


def _place(home: Path) -> Path:
    """Return the file of a log: a copy of the log elsewhere has one of its own."""
    name = hashlib.sha256(os.fsencode(home.resolve())).hexdigest()[:16]
    return state_dir() / "bottles" / f"{name}.json"
