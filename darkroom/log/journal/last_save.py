"""The end of the program with lines unsaved: the writer gets its time, then they go to any place there is.

The writer's thread may hang in a system call of a disk that does not answer. What waits is then written by
other threads to the places that are left; a line that stands in two files with the same bytes is one line.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.bench import events as ev
from darkroom.log.journal.frame import encode
from darkroom.log.journal.further_files import begin_file
from darkroom.log.journal.write import JournalWriter, Unsaved
from darkroom.log.store import durable, paths

COPIES_AFTER = 2.5
"""Seconds that the writer has alone, before what waits is written elsewhere as well."""
LONGEST = 7.0
"""Seconds until the writer is given up. Who sends TERM or HUP and then kills waits 10 s at least (systemd
90 s, launchd 20 s, Docker 10 s: from memory); leaving the screen and the copies need the rest."""
PLACE_PATIENCE = 1.0
"""Seconds after which a place that does not answer is left for the next, with all that waits."""
NO_ANSWER = "the disk does not answer"


class NotInJournal(msgspec.Struct, frozen=True):
    """Lines of a plate that its journal did not take; `copy` is the file they stand in, or None."""

    unsaved: Unsaved
    copy: Path | None

    @property
    def why(self) -> str:
        """The reason."""
        return self.unsaved.why or NO_ANSWER


def save_all(
    home: Path,
    writer: JournalWriter,
    *,
    copies_after: float = COPIES_AFTER,
    longest: float = LONGEST,
    waits: Callable[[int], None] = lambda lines: None,
) -> list[NotInJournal]:
    """Save what waits and stop the writer; return what its journals did not take within `longest` seconds.

    `waits` is called with the number of lines when it takes longer than `copies_after` seconds.
    """
    end = time.monotonic() + longest
    writer.hurry()
    if writer.flush(copies_after) and writer.close(PLACE_PATIENCE):  # the bench may have gone on between
        return []
    if lines := sum(unsaved.count for unsaved in writer.unsaved()):
        waits(lines)
    copies = {unsaved.plate: _Copy(home, unsaved) for unsaved in writer.unsaved()}
    _write(list(copies.values()))
    writer.close(max(0.0, end - time.monotonic()))
    left = writer.unsaved()
    for plate in copies.keys() - {unsaved.plate for unsaved in left}:
        copies[plate].remove()
    return [
        NotInJournal(unsaved, copies[unsaved.plate].holding(unsaved) if unsaved.plate in copies else None)
        for unsaved in left
    ]


def _write(copies: Sequence[_Copy]) -> None:
    """Write each copy to the first place that takes it; a place that hangs is left by all of them."""

    def write(folder: Path, waiting: Sequence[_Copy]) -> None:
        for copy in waiting:
            copy.write(folder)

    for folder in paths.last_places():
        waiting = [copy for copy in copies if not copy.paths]
        if not waiting:
            return
        thread = threading.Thread(target=write, args=(folder, waiting), name="last save", daemon=True)
        with suppress(RuntimeError):  # no thread is left: the writer alone has the rest of the time
            thread.start()
            thread.join(PLACE_PATIENCE)


class _Copy:
    """The lines of a plate that wait, in a file of their own."""

    def __init__(self, home: Path, unsaved: Unsaved) -> None:
        first = unsaved.batches[0]
        continued = ev.Continued(
            n=0,
            at=first.at,
            up=first.up,
            plate=unsaved.plate,
            saved=first.first - 1,
            why=unsaved.why or NO_ANSWER,
            home=paths.printable(home),
        )
        self.plate, self.last = unsaved.plate, unsaved.batches[-1].n
        self._data = encode(continued) + unsaved.lines
        self.paths: list[Path] = []
        self._unneeded = False

    def holding(self, unsaved: Unsaved) -> Path | None:
        """Return the file, when it has all of these lines."""
        return self.paths[0] if self.paths and self.last >= unsaved.batches[-1].n else None

    def remove(self) -> None:
        """Take it away, also what a slow place writes only now: the journal has every line of it."""
        self._unneeded = True
        for path in self.paths:
            with suppress(OSError):
                path.unlink()

    def write(self, folder: Path) -> None:
        """Write it to a file in the folder, where that takes it."""
        with suppress(OSError):
            durable.own_folder(folder)
            path, _, fd = begin_file(folder, self.plate, 2, self._data)
            plain_files.close(fd)
            self.paths.append(path)
            if self._unneeded:
                path.unlink()
