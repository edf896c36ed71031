"""Answers the newest question of the exposure page in a thread: neither the log nor learning holds it up."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

from darkroom.errors import AmbiguousPlate, NothingFound, WrongUse

if TYPE_CHECKING:
    from darkroom.exposure.kit import Kit
    from darkroom.log.plate.record import PlateRecord
    from darkroom.screens.exposure.answer import Answer, Question

LATEST = 20
"""Among so many of the newest plates the latest that was exposed is looked for."""


class Asker:
    """Reads the log once and answers question after question; one that is overtaken is never told.

    `deliver` runs something on the screen's thread, where `answered` is called with the answer, or with None
    and what went wrong.
    """

    def __init__(
        self,
        home: Path,
        deliver: Callable[[Callable[[], None]], None],
        answered: Callable[[Answer | None, str], None],
    ) -> None:
        self.home = home
        self._deliver, self._answered = deliver, answered
        self._changed = threading.Condition()
        self._next: tuple[Question, Kit, datetime] | None = None
        self._closed = False
        self._thread: threading.Thread | None = None

    def ask(self, question: Question, kit: Kit, now: datetime) -> None:
        """Ask; returns at once."""
        with self._changed:
            self._next = question, kit, now
            self._changed.notify()
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name="exposure page", daemon=True)
            self._thread.start()

    def close(self) -> None:
        """Let the thread end; nothing is delivered any more."""
        with self._changed:
            self._closed = True
            self._changed.notify()

    def _run(self) -> None:
        from darkroom.log.catalogue.judged_plates import judged_plates
        from darkroom.screens.exposure.reckoning import reckon

        judged = judged_plates(self.home)
        while True:
            with self._changed:
                while self._next is None and not self._closed:
                    self._changed.wait()
                if self._closed or self._next is None:
                    return
                (question, kit, now), self._next = self._next, None
            answer, trouble = None, ""
            try:
                answer = reckon(question, kit, judged, self._record_of, now, zone_of)
            except Exception as error:  # a page that cannot reckon says so, and the bench goes on
                trouble = f"this cannot be reckoned: {error}"
            if self._next is None and not self._closed:
                self._tell(answer, trouble)

    def _tell(self, answer: Answer | None, trouble: str) -> None:
        self._deliver(lambda: None if self._closed else self._answered(answer, trouble))

    def _record_of(self, word: str) -> PlateRecord:
        """Return the record of a plate by its number or id, "" for the latest one that was exposed."""
        from darkroom.log.catalogue.catalogue import Catalogue
        from darkroom.log.journal.find import newest
        from darkroom.log.plate.record import read_record

        if not word:
            records = map(read_record, newest(self.home, LATEST))
            record = next((record for record in records if record.exposure_stage is not None), None)
            if record is None:
                raise NothingFound("no plate of the log was exposed yet")
            return record
        try:
            with Catalogue(self.home) as catalogue:
                return read_record(catalogue.find(word))
        except AmbiguousPlate as error:
            ids = ", ".join(line.split()[0] for line in str(error).splitlines()[1:])
            raise WrongUse(f"several plates are number {word}: type one of {ids}") from None


def zone_of(name: str) -> tzinfo:
    """Return the time zone of a name. Raises WrongUse for one that this machine does not know."""
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:
        raise WrongUse(f"no time zone is called '{name}' on this machine") from error
