"""The end of the tool: what waits is saved, and what is said of lines that no journal took."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from darkroom.bench.state import PlateState
from darkroom.log.journal.last_save import NotInJournal, save_all
from darkroom.log.journal.write import JournalWriter
from darkroom.log.store.paths import is_memory, printable

PATIENCE = 2.0
"""Seconds that the day's sheet and `bench.json` get; less where the disk has shown that it is dead."""
NO_PATIENCE = 0.2

_HARMLESS = {code: f"\\u{code:04x}" for code in (0x7F, *range(0x80, 0xA0))}
"""Control characters that JSON leaves as they are, in its own notation."""


class Closing:
    """Saves what waits, once, whichever thread asks first.

    `others` is what else is written: what it is called where that is not saved (None: not worth a word),
    and how it is closed. `plates` gives the plates of the bench.
    """

    def __init__(
        self,
        home: Path,
        writer: JournalWriter,
        plates: Callable[[], Mapping[str, PlateState]],
        others: Sequence[tuple[str | None, Callable[[float], bool]]],
    ) -> None:
        """Nothing is done yet."""
        self._home, self._writer, self._plates, self._others = home, writer, plates, others
        self._lock = threading.Lock()
        self._unsaved: list[str] | None = None

    def run(self, waits: Callable[[int], None] = lambda lines: None) -> list[str]:
        """Save and stop; return what is to be said of what is not saved, to the first who asks alone.

        `waits` is called with the number of unsaved lines when they take long. Others wait for the end.
        """
        with self._lock:
            if self._unsaved is not None:
                return []
            not_in_journal = save_all(self._home, self._writer, waits=waits)
            self._unsaved = lines_of(self._plates(), not_in_journal)
            patience = NO_PATIENCE if not_in_journal else PATIENCE
            for name, close in self._others:
                if not close(patience) and name is not None:
                    self._unsaved.append(f"not saved: {name}")
            return self._unsaved

    @property
    def is_unsaved(self) -> bool:
        """Whether something was not saved when it was closed."""
        return bool(self._unsaved)


def lines_of(plates: Mapping[str, PlateState], not_in_journal: list[NotInJournal]) -> list[str]:
    """Return text: which plate, how many lines, why, and where they are; else the lines themselves."""
    text: list[str] = []
    for missing in not_in_journal:
        unsaved, state = missing.unsaved, plates.get(missing.unsaved.plate)
        plate = f"plate {state.number}" if state is not None and state.number else f"plate {unsaved.plate}"
        count = "1 line is" if unsaved.count == 1 else f"{unsaved.count} lines are"
        text.append(f"{plate}: {count} not in the journal: {missing.why}")
        if missing.copy is None:
            text.append("  Saved nowhere. They follow; keep them:")
            text += unsaved.lines.decode("utf-8", "replace").translate(_HARMLESS).splitlines()
        else:
            text.append(f"  Kept in {printable(missing.copy)}")
            lost = "That is memory, lost with the power. " if is_memory(missing.copy) else ""
            text.append(f"  {lost}Start darkroom again: it reads them from there.")
    return text
