"""What is kept and said after the application has crashed."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from darkroom.log.journal.write import JournalWriter
from darkroom.log.store import durable
from darkroom.log.store.paths import printable, spill_places


def kept_in(home: Path, trace: str) -> str:
    """Write the trace down, in the folder of the log or a spill place; return a sentence that says where."""
    places = [(home, durable.make_folders), *((place, durable.own_folder) for place in spill_places())]
    for folder, make in places:
        with suppress(OSError):
            make(folder)
            durable.write_whole(folder / "crash.txt", trace.encode("utf-8", "replace"))
            return f"What happened is in {printable(folder / 'crash.txt')}."
    return "What happened could not be written down."


def saved_or_not(writer: JournalWriter) -> list[str]:
    """Return what is true of the presses, when the disk has had a second more."""
    if writer.flush(1.0):
        return ["Every press is saved. Start it again: the plates come back."]
    lines = sum(unsaved.count for unsaved in writer.unsaved())
    return [
        f"Lines not saved yet: {lines}. A key tries again, and says what is not saved.",
        "Start it again: the plates come back.",
    ]
