"""What is kept and said after the application has crashed."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from queue import Empty, Queue

from darkroom.errors import harmless
from darkroom.log.journal.write import JournalWriter
from darkroom.log.store import durable
from darkroom.log.store.paths import printable, spill_places

PATIENCE = (0.3, 0.1)
"""Seconds that the folder of the log gets for the trace, and each spill place: a plate may lie bare while the
tool is away."""
LAST_WAIT = 1.0
"""Seconds that the writer gets before it is said what waits."""


def kept_in(home: Path, trace: str) -> str:
    """Write the trace down, in the folder of the log or a spill place; return a sentence that says where.

    A disk that hangs is left for the next place; what it writes later is not told of.
    """
    data = trace.encode("utf-8", "replace")
    places = [(home, durable.make_folders), *((place, durable.own_folder) for place in spill_places())]
    sentence = "What happened could not be written down."
    for number, (folder, make) in enumerate(places):
        written: Queue[bool] = Queue()
        thread = threading.Thread(
            target=_write, args=(folder, make, data, written), name="trace", daemon=True
        )
        try:
            thread.start()
        except RuntimeError:  # no thread can be started any more: the disk is not asked
            continue
        try:
            is_written = written.get(timeout=PATIENCE[min(number, 1)])
        except Empty:
            sentence = "What happened may not be written down: the disk does not answer."
            continue
        if is_written:
            return f"What happened is in {harmless(printable(folder / 'crash.txt'))}."
    return sentence


def _write(folder: Path, make: Callable[[Path], None], data: bytes, written: Queue[bool]) -> None:
    """Write the trace to its file in a folder; `written` then gets whether that takes it."""
    try:
        make(folder)
        durable.write_whole(folder / "crash.txt", data)
    except Exception:  # whatever it is: it would be printed in white letters
        written.put(False)
    else:
        written.put(True)


def saved_or_not(writer: JournalWriter) -> list[str]:
    """Return what is true of the presses, when the disk has had a second more."""
    writer.flush(LAST_WAIT)
    lines = sum(unsaved.count for unsaved in writer.unsaved())
    saved = f"Lines not saved yet: {lines}. A key tries again, and says what is not saved."
    return [
        saved if lines else "Every press is saved.",
        "A rehearsal does not come back." if writer.rehearsal else "Start it again: the plates come back.",
    ]
