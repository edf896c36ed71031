"""Which plates an export is of."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from itertools import islice
from pathlib import Path
from typing import Protocol

from darkroom.errors import NothingFound, Problem, WrongUse
from darkroom.log.export.all_plates import AllPlates
from darkroom.log.journal.find import find, survey
from darkroom.log.journal.journal_names import FolderCache
from darkroom.log.journal.merge import read_plate
from darkroom.log.plate.record import PlateRecord, read_record

ShowProgress = Callable[[int, int], None]
"""Called with how many are done, and of how many."""
StepProgress = Callable[[str], ShowProgress]
"""Called with what is done next, in words, before it begins."""


def no_progress(what: str) -> ShowProgress:
    """Show nothing."""
    return lambda done, total: None


class Paths(Protocol):
    """So many paths, gone through as often as wanted."""

    def __len__(self) -> int: ...

    def __iter__(self) -> Iterator[Path]: ...


PAGE = 2000
"""So many rows of the catalogue are looked at at a time: a row takes much more memory than a path."""


class _Found:
    """Paths that are kept as text: it takes a third of the memory."""

    def __init__(self, found: list[str]) -> None:
        self._found = found

    def __len__(self) -> int:
        return len(self._found)

    def __iter__(self) -> Iterator[Path]:
        return (Path(os.fsdecode(text)) for text in self._found)


AHEAD = 32
"""So many plates are read before the first of them is worked on: turning from reading to writing at every
plate takes a processor a tenth longer."""


class Selection:
    """Plates by the paths of their first files; each is read anew whenever they are gone through.

    `problems` gathers what was wrong with the journals the last time.
    """

    def __init__(
        self, paths: Paths, hidden: Sequence[Problem] = (), progress: StepProgress = no_progress
    ) -> None:
        """`hidden` are the folders that could not be looked into; each reading is a step of `progress`."""
        self._paths, self._hidden, self.progress = paths, tuple(hidden), progress
        self.problems: list[Problem] = list(hidden)

    def __len__(self) -> int:
        return len(self._paths)

    def __iter__(self) -> Iterator[PlateRecord]:
        self.problems = list(self._hidden)
        folder_cache = FolderCache()
        show, total = self.progress("reading journals"), len(self._paths)
        done, paths = 0, iter(self._paths)
        while ahead := [read_record(path, folder_cache) for path in islice(paths, AHEAD)]:
            for done, record in enumerate(ahead, done + 1):  # noqa: B020
                self.problems += record.log.problems
                show(done, total)
                yield record


def choose(
    home: Path,
    plates: Sequence[str],
    day: str | None = None,
    everything: bool = False,
    rehearsals: bool = False,
    filtered: str | None = None,
    progress: StepProgress = no_progress,
) -> Selection:
    """Return the plates that are named, of a local day, that a filter leaves, or all, oldest first.

    `day` is YYYY-MM-DD, `filtered` a line as `filter.parse` reads it. Raises WrongUse unless exactly one
    of the four is asked for, or for one that makes no sense; NothingFound when there is no such plate;
    AmbiguousPlate when a name means several.
    """
    if sum((bool(plates), day is not None, everything, filtered is not None)) != 1:
        raise WrongUse("name plates, or give --day DATE, --find FILTER or --all: one of the four")
    if filtered is not None:
        return _filtered(home, filtered, rehearsals, progress)
    if plates:
        return Selection(
            sorted({find(home, word, rehearsals) for word in plates}, key=lambda path: path.name),
            progress=progress,
        )
    kind = "rehearsals" if rehearsals else "plates"
    if day is None:
        every = AllPlates(home, rehearsals)
        if not every:
            raise NothingFound(f"no {kind}")
        return Selection(every, every.problems, progress)
    wanted = _day(day)
    shelf = survey(home, rehearsals=rehearsals)
    paths = [path for path in shelf.paths if _local_date(path) == wanted]
    if not paths:
        raise NothingFound(f"no {kind} of {day}")
    return Selection(sorted(paths, key=lambda path: path.name), shelf.problems, progress)


def _filtered(home: Path, filtered: str, rehearsals: bool, progress: StepProgress) -> Selection:
    """Return the plates that a filter leaves, by the catalogue as it is after a look at every journal."""
    from msgspec.structs import replace

    from darkroom.log.catalogue import filter
    from darkroom.log.catalogue.catalogue import Catalogue

    parsed = filter.parse(filtered, "oldest")
    if parsed.remarks:
        raise WrongUse(f"--find: {parsed.remarks[0]}")
    with Catalogue(home) as catalogue:
        catalogue.check(progress("filling the catalogue"))
        query = replace(parsed.query, rehearsals=rehearsals)
        found: list[str] = []
        while page := catalogue.plates(query, limit=PAGE, offset=len(found)):
            found += [row["path"] for row in page]
        hidden = catalogue.problems
    if not found:
        raise NothingFound(f"no plate answers to '{filtered}'")
    return Selection(_Found(found), hidden, progress)


def _day(text: str) -> str:
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise WrongUse(f"'{text}' is no date such as 2026-03-01") from None


def _local_date(path: Path) -> str:
    """Return the folder's date, or that of the first line for a plate that lies elsewhere alone."""
    folder = path.parent.name
    if len(folder) == 10 and folder[4] == folder[7] == "-":
        return folder
    return read_plate(path).local_date
