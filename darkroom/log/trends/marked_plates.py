"""The judged plates in the order of time, and which of them have each fault. Pure."""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from datetime import date
from operator import ge
from typing import Any

from darkroom.faults.catalogue import Catalogue, name_key
from darkroom.log.plate.ratings import VALUES
from darkroom.log.trends.facts import Rows
from darkroom.log.trends.plate_columns import members

_NOTHING = [None for _ in VALUES]


class MarkedPlates:
    """The judged plates, oldest first, in step with each other, and which of them have each fault."""

    def __init__(self, rows: Rows, catalogue: Catalogue) -> None:
        self.plates: list[str] = []
        self.numbers: list[int | None] = []
        self.moments = array("d")
        self.days: list[date] = []
        self.labels: dict[str, str] = {}
        self.having: dict[str, array[int]] = {}
        self.unjudged = 0
        self._names: dict[str, str] = {}
        marked = self._take(rows)
        self._order(marked)
        for place, names in enumerate(marked):
            if names:
                for fault in {self._fault(name, catalogue) for name in names}:
                    self.having.setdefault(fault, array("I")).append(place)

    def _take(self, rows: Rows) -> list[Sequence[str]]:
        """Take the judged plates in the order of the rows; return the faults of each."""
        marked: list[Sequence[str]] = []
        days: dict[str | None, date | None] = {None: None}
        faults_of = rows.faults
        for path, plate, moment, number, day_text, *said in members(
            rows.plates, "path", "plate", "moment", "number", "day", *VALUES
        ):
            names = faults_of.get(path, ())
            if not names and said == _NOTHING:
                self.unjudged += 1
                continue
            if day_text not in days:
                days[day_text] = _date_of(day_text)
            day = days[day_text]
            if day is not None and moment is not None:
                self.plates.append(plate)
                self.moments.append(moment)
                self.numbers.append(number)
                self.days.append(day)
                marked.append(names)
        return marked

    def _order(self, marked: list[Sequence[str]]) -> None:
        """Put the plates and their faults in the order of time, those of one moment by their ids.

        Mostly they are: the id of a plate begins with when it was begun.
        """
        moments, plates = self.moments, self.plates
        if any(map(ge, moments, moments[1:])):
            order = sorted(range(len(plates)), key=lambda n: (moments[n], plates[n]))
            self.moments = array("d", map(moments.__getitem__, order))
            columns: tuple[list[Any], ...] = self.plates, self.numbers, self.days, marked
            for column in columns:
                column[:] = [column[n] for n in order]

    def _fault(self, name: str, catalogue: Catalogue) -> str:
        """Return the id of a fault, or its words where it is in no file, and know what it is called."""
        if name not in self._names:
            fault = catalogue.fault(name)
            self._names[name] = name_key(name) if fault is None else fault.id
            self.labels.setdefault(
                self._names[name], " ".join(name.split()) if fault is None else fault.label
            )
        return self._names[name]


def _date_of(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
