"""What is kept and said after the application has crashed."""

from __future__ import annotations

import threading
from contextlib import suppress
from pathlib import Path

from darkroom.log.journal.write import JournalWriter
from darkroom.log.store import durable
from darkroom.log.store.paths import printable, spill_places

NO_WAIT = 0.5
"""Seconds that the disk gets for the trace: a plate may lie bare while the tool is away."""


def kept_in(home: Path, trace: str) -> str:
    """Write the trace down, in the folder of the log or a spill place; return a sentence that says where.

    A disk that hangs is not waited for.
    """
    written: list[str] = []
    thread = threading.Thread(target=lambda: written.extend(_write(home, trace)), name="trace", daemon=True)
    thread.start()
    thread.join(NO_WAIT)
    return f"What happened is in {written[0]}." if written else "What happened could not be written down."


def _write(home: Path, trace: str) -> list[str]:
    """Return the file that the trace was written to; nothing where no place takes it."""
    places = [(home, durable.make_folders), *((place, durable.own_folder) for place in spill_places())]
    for folder, make in places:
        with suppress(OSError):
            make(folder)
            durable.write_whole(folder / "crash.txt", trace.encode("utf-8", "replace"))
            return [printable(folder / "crash.txt")]
    return []


def saved_or_not(writer: JournalWriter) -> list[str]:
    """Return what is true of the presses, when the disk has had a second more."""
    writer.flush(1.0)
    lines = sum(unsaved.count for unsaved in writer.unsaved())
    saved = f"Lines not saved yet: {lines}. A key tries again, and says what is not saved."
    return [
        saved if lines else "Every press is saved.",
        "A rehearsal does not come back." if writer.rehearsal else "Start it again: the plates come back.",
    ]
