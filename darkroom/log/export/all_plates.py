"""Every plate of a log, however many: what is kept of them is a record for each day's folder."""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from darkroom.errors import Problem
from darkroom.log.journal.find import first_files, spilled_plates
from darkroom.log.journal.journal_names import day_folders, plate_of
from darkroom.log.store import paths


class _Day(NamedTuple):
    """A folder, the names of its first and its last plate, and how many there were."""

    folder: Path
    first: str
    last: str
    plates: int


class AllPlates:
    """The first file of each plate, by their names, as of when this is made.

    Each going through looks into a day's folder when its turn comes: a plate that is gone is passed over, one
    that began since is left out. `problems` are the folders that could not be looked into.
    """

    def __init__(self, home: Path, rehearsals: bool = False) -> None:
        self.problems: list[Problem] = []
        self._days: list[_Day] = []
        spilled = {
            name.plate: path for path in spilled_plates(home, set(), rehearsals) if (name := plate_of(path))
        }
        top = home / (paths.REHEARSALS if rehearsals else paths.PLATES)
        for folder in day_folders(top, None, self.problems):
            names = []
            for path in first_files(folder, self.problems):
                names.append(path.name)
                if spilled and (name := plate_of(path)):
                    spilled.pop(name.plate, None)
            if names:
                self._days.append(_Day(folder, min(names), max(names), len(names)))
        self._spilled = sorted(spilled.values(), key=lambda path: path.name)

    def __len__(self) -> int:
        return sum(day.plates for day in self._days) + len(self._spilled)

    def __iter__(self) -> Iterator[Path]:
        """Yield them; of two with one name that of the earlier folder first, one in a spill place last."""
        listed: dict[int, Iterator[Path]] = {len(self._days): iter(self._spilled)}
        waiting: list[tuple[str, int, Path | None]] = [
            (day.first, number, None) for number, day in enumerate(self._days)
        ]
        waiting += [(path.name, len(self._days), path) for path in self._taken(listed, len(self._days))]
        heapq.heapify(waiting)
        while waiting:
            _, number, path = heapq.heappop(waiting)
            if path is None:
                listed[number] = self._files(self._days[number])
            else:
                yield path
            for following in self._taken(listed, number):
                heapq.heappush(waiting, (following.name, number, following))

    @staticmethod
    def _taken(listed: dict[int, Iterator[Path]], number: int) -> Iterator[Path]:
        """Yield the next path of a folder, or nothing at its end: its list is then let go."""
        path = next(listed[number], None)
        if path is None:
            del listed[number]
        else:
            yield path

    @staticmethod
    def _files(day: _Day) -> Iterator[Path]:
        found = sorted(first_files(day.folder, []), key=lambda path: path.name)
        return iter([path for path in found if path.name <= day.last])
