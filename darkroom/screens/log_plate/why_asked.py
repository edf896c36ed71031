"""Asks in a thread why the plate of a page failed: the page is drawn at once, the answer when it is there."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from darkroom.log.plate.record import PlateRecord
from darkroom.screens.host import Host
from darkroom.screens.why_failed import PlateAnswer, why_of
from darkroom.screens.widgets.rows import Row

STILL_LOOKING = "its causes are still looked for: press c again in a moment"


class WhyAsked:
    """The question why one plate failed: asked where a fault of it is marked, anew when it may have changed.

    `on_found` is called on the screen's thread when the answer is there, or is no longer wanted.
    """

    def __init__(self, tool: Host, path: Path, on_found: Callable[[], None]) -> None:
        self._tool, self._path, self._on_found = tool, path, on_found
        self.asked = False
        """Whether a fault of the plate is marked, so that the page tells why."""
        self.answer: PlateAnswer | None = None
        self._running = self._again = False

    def ask(self, record: PlateRecord) -> None:
        """Ask; what was known stays until the new answer is there. A rehearsal is no failure."""
        start = record.log.start
        self.asked = bool(record.judged.faults) and not (start is not None and start.rehearsal)
        if not self.asked:
            self.answer = None
        elif self._running:
            self._again = True
        else:
            self._running = True
            threading.Thread(target=self._look, name="why", daemon=True).start()

    def _look(self) -> None:
        answer = why_of(self._tool.services.home, self._path)
        self._tool.from_thread(lambda: self._found(answer))

    def _found(self, answer: PlateAnswer) -> None:
        self._running = False
        if self._again and self.asked:  # it was judged anew while this was looked for
            self._again = False
            self._running = True
            threading.Thread(target=self._look, name="why", daemon=True).start()
            return
        if self.asked:
            self.answer = answer
            self._on_found()

    @property
    def advised(self) -> tuple[str, ...]:
        """What the test says to do that is advised, if one is."""
        if self.answer is None:
            return ()
        from darkroom.screens.log_plate.why_rows import advised_tests

        return advised_tests(self.answer.plate, self.answer.catalogue)

    @property
    def likely(self) -> str:
        """The likeliest cause with its chance, in a few words; nothing while it is not known."""
        why = None if self.answer is None else self.answer.plate.why
        if why is None or not why.causes:
            return ""
        from darkroom.faults.words import chance_text

        return f"{why.causes[0].label}, {chance_text(why.causes[0].chance)} (y shows why)"

    @property
    def advice(self) -> list[tuple[str, str]]:
        """The one thing to do next time and its cautions: (what it is, its words) each."""
        why = None if self.answer is None else self.answer.plate.why
        if why is None or why.advice is None:
            return []
        lead = {"change": "change", "test": "test first", "note": "to note"}[why.advice.kind]
        return [(lead, why.advice.do), *(("caution", caution) for caution in why.advice.cautions)]

    def labels(self, record: PlateRecord) -> dict[str, str]:
        """Return what the catalogue calls the marked faults, {name: label}; nothing while it is not read."""
        if self.answer is None:
            return {}
        known = {mark.name: self.answer.catalogue.fault(mark.name) for mark in record.judged.faults}
        return {name: fault.label for name, fault in known.items() if fault is not None}

    def rows(self, columns: int) -> list[Row]:
        """Return the rows of the page about it; none for a plate without a fault."""
        if not self.asked:
            return []
        from darkroom.faults.catalogue import Catalogue
        from darkroom.screens.log_plate.why_rows import why_rows

        if self.answer is None:
            return list(why_rows(None, Catalogue(), columns))
        return list(why_rows(self.answer.plate, self.answer.catalogue, columns))

    def confirm(self, record: PlateRecord, on_done: Callable[[str], None]) -> str:
        """Ask which cause it was and write it; return why not, or nothing."""
        if not self.asked:
            return "no fault is marked: j marks one"
        if self.answer is None:
            return STILL_LOOKING
        from darkroom.screens.log_plate.confirm_cause import ask_and_confirm, known_faults

        if not known_faults(record, self.answer.catalogue):
            return "its faults are words of your own, of which no cause is known: j names one of the list"
        ask_and_confirm(self._tool, record, self.answer, on_done)
        return ""
