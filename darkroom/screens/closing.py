"""The end of the tool: what waits is saved, and what is said of lines that no journal took."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from darkroom.bench.state import PlateState
from darkroom.errors import harmless
from darkroom.log.journal.last_save import NotInJournal, save_all
from darkroom.log.journal.write import JournalWriter
from darkroom.log.store.paths import is_memory, printable
from darkroom.process.text.plain_text import json_escaped

PATIENCE = 2.0
"""Seconds that the day's sheet and `bench.json` get; less where the disk has shown that it is dead."""
NO_PATIENCE = 0.2
COMES_BACK = "Start darkroom again: it reads them from there."
REHEARSAL = "A rehearsal does not come back; darkroom log list --rehearsals reads them from there."


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

    def run(self, say: Callable[[str], None]) -> bool:
        """Save and stop, and `say` line by line what is not saved; return whether all is.

        Who calls it while another thread does waits until that one has said it.
        """
        with self._lock:
            if self._unsaved is None:
                self._unsaved = self._save(say)
                for line in self._unsaved:
                    say(line)
            return not self._unsaved

    def _save(self, say: Callable[[str], None]) -> list[str]:
        """Save and stop; return what is to be said of what is not saved."""

        def waits(lines: int) -> None:
            say(f"{' '.join(_counted(lines))} not saved yet: tried for a few seconds more")

        try:
            not_in_journal = save_all(self._home, self._writer, waits=waits)
        except Exception:  # of our own: what waits is said all the same
            not_in_journal = [NotInJournal(unsaved, None) for unsaved in self._writer.unsaved()]
        text = lines_of(self._plates(), not_in_journal, rehearsal=self._writer.rehearsal)
        patience = NO_PATIENCE if not_in_journal else PATIENCE
        for name, close in self._others:
            try:
                is_saved = close(patience)
            except Exception:  # of our own: the lines of the plates are said all the same
                is_saved = False
            if not is_saved and name is not None:
                text.append(f"not saved: {name}")
        return text


def _counted(lines: int) -> tuple[str, str]:
    """Return a number of lines in words, and the verb that goes with it."""
    return ("1 line", "is") if lines == 1 else (f"{lines} lines", "are")


def lines_of(
    plates: Mapping[str, PlateState], not_in_journal: list[NotInJournal], *, rehearsal: bool = False
) -> list[str]:
    """Return text: which plate, how many lines, why, and where they are; else the lines themselves.

    A plate's first line is longer than a small screen, so what was printed is named once more at the end.
    """
    text: list[str] = []
    printed: list[str] = []
    for missing in not_in_journal:
        unsaved, state = missing.unsaved, plates.get(missing.unsaved.plate)
        plate = f"plate {state.number}" if state is not None and state.number else f"plate {unsaved.plate}"
        lines, are = _counted(unsaved.count)
        why = harmless(missing.why)
        text.append(f"{plate}: {lines} {are} not in the journal: {why}")
        if missing.copy is None:
            text.append("  Saved nowhere. They follow; keep them:")
            text += json_escaped(unsaved.lines.decode("utf-8", "replace")).rstrip("\n").split("\n")
            printed.append(f"{lines} of {plate}: {why}")
        else:
            text.append(f"  Kept in {harmless(printable(missing.copy))}")
            lost = "That is memory, lost with the power. " if is_memory(missing.copy) else ""
            text.append(f"  {lost}{REHEARSAL if rehearsal else COMES_BACK}")
    if printed:
        text.append("Saved nowhere, only printed above; copy them before this window closes:")
        text += [f"  {each}" for each in printed]
    return text
