"""The rows behind the trends, read from the catalogue: each table is gone through once, by the plates' paths.

Every row that is read is checked by its sum, and the structure of its table is looked at, so that a damaged
catalogue is filled anew and never told from.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING, Any

from darkroom.log.bottles.files import read_shelf
from darkroom.log.catalogue.catalogue import DECODED
from darkroom.log.catalogue.collodion_ages import CollodionDates
from darkroom.log.catalogue.database import repairing
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.row_sums import damaged
from darkroom.log.catalogue.schema import PLATE_COLUMNS, STAGE_COLUMNS
from darkroom.log.trends.changes import FirstUses
from darkroom.log.trends.facts import SEEN, Gathered, Key, PlateFacts, Rows
from darkroom.log.trends.fixers import Fixers
from darkroom.log.trends.plate_columns import ByPlace, FixColumns, PlateColumns
from darkroom.log.trends.speed import Speeds
from darkroom.solutions.joining import PlateUse

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue

FIXERS = ("fixer", "fixer_2")
"""The roles of a bottle that clears plates."""
_MEMBERS = PlateFacts.__struct_fields__[1:]
_FACTS = itemgetter(*(1 + PLATE_COLUMNS.index(name) for name in _MEMBERS))
"""The members of `PlateFacts` but the path, of a row of plates behind whether it is asked for."""
_PROCESS, _STARS, _FIXER = (_MEMBERS.index(name) for name in ("process", "stars", "fixer"))
_SUM, _MOMENT = (_MEMBERS.index(name) for name in ("process_sum", "moment"))
_STAGE, _ENDS, _HOW, _CLEARED = map(STAGE_COLUMNS.index, ("stage", "ends", "how", "cleared"))
_COUNTS = 1 + PLATE_COLUMNS.index("row_counts")
_WHOLE = ("plates", "exposures", "processes")
"""The tables whose pages are looked at; of the others each plate's row tells how many rows it has."""


class _ByPath:
    """The rows of a table in the order of paths, taken plate by plate."""

    def __init__(self, rows: Iterable[tuple[Any, ...]]) -> None:
        self._groups = groupby(rows, key=itemgetter(0))
        self._next: tuple[Any, Iterator[tuple[Any, ...]]] | None = next(self._groups, None)

    def of(self, path: str) -> Iterable[tuple[Any, ...]]:
        """Return the rows of a plate, to be gone through before the next plate is asked for; paths ascend."""
        while self._next is not None and self._next[0] < path:
            self._next = next(self._groups, None)
        return self._next[1] if self._next is not None and self._next[0] == path else ()

    def end(self) -> None:
        """Go through the rows behind the last plate too: each is looked at."""
        deque(self._groups, maxlen=0)


@repairing
def trend_rows(catalogue: Catalogue, query: Query) -> Rows:
    """Return the rows of the catalogue for the plates of a query."""
    shelf = read_shelf(catalogue.home)
    with catalogue.one_state():
        catalogue.check_structure(_WHOLE)
        return _read(catalogue, query, Fixers(shelf.bottles), CollodionDates(shelf.bottles), shelf.bottles)


def _read(
    catalogue: Catalogue, query: Query, fixers: Fixers, collodion: CollodionDates, bottles: Any
) -> Rows:
    where, values = query.where()
    shelf = Query(rehearsals=query.rehearsals).where()
    plates, fixed, rooms, speeds = PlateColumns(), FixColumns(), ByPlace(), Speeds()
    gathered, first_uses = Gathered(plates.ids), FirstUses()
    faults: dict[Key, Sequence[str]] = {}
    names_of_faults: dict[tuple[str, ...], tuple[str, ...]] = {}
    unseen: set[Key] = set()
    wet_from_of = dict(_wet_from(catalogue.checked("SELECT * FROM processes")))
    stages, readings, marked, uses, exposures = (
        _ByPath(catalogue.checked(f"SELECT * FROM {table} ORDER BY path, {then}"))
        for table, then in (
            ("stages", "position"),
            ("readings", "rowid"),
            ("faults", "position"),
            ("uses", "position"),
            ("exposures", "path"),
        )
    )
    in_order = catalogue.checked(
        f"SELECT ({where}), * FROM plates WHERE {shelf[0]} ORDER BY path", [*values, *shelf[1]], before=1
    )
    for row in in_order:
        path, facts = row[1], _FACTS(row)
        place = len(plates)
        of_plate = list(stages.of(path))
        used = [PlateUse(*use[2:-1]) for use in uses.of(path)]
        cleared = [stage for stage in of_plate if stage[_ENDS] == "cleared" and stage[_HOW] != "skipped"]
        if cleared:
            fixing = fixers.used(use for use in used if use.role in FIXERS)
        for stage in cleared:
            bottle, fixer = fixers.of_stage(fixing, stage[_STAGE], facts[_FIXER])
            key = place if row[0] else -len(fixed) - 1
            fixed.append((key, facts[0], stage[_STAGE], fixer, stage[_CLEARED], bottle, bool(row[0])))
        of_faults, of_readings = list(marked.of(path)), list(readings.of(path))
        counts = f"{len(of_faults)} {len(of_plate)} {len(of_readings)} {len(used)}"
        if counts != row[_COUNTS]:
            raise damaged()
        if not row[0]:
            continue
        plates.append(facts)
        gathered.take_plate(place, facts[_PROCESS], facts[_STARS], of_plate)
        if _unseen(of_plate, wet_from_of.get(facts[_SUM])):
            unseen.add(place)
        room = [
            celsius
            for _, source, celsius, origin, _ in of_readings
            if source == "room" and origin not in (None, "assumed") and celsius is not None
        ]
        if room:
            rooms.put(place, sum(room) / len(room))
        names = tuple(str(fault[2]) for fault in of_faults)
        if names:
            faults[place] = names_of_faults.setdefault(names, names)
        for use in used:
            first_uses.add(use.role, use.bottle, use.name, facts[_MOMENT])
        for exposure in exposures.of(path):
            if exposure[3] is not None:
                speeds.add(collodion.with_age(DECODED.decode(exposure[3]), used))
    for table in (stages, readings, marked, uses, exposures):
        table.end()
    plates.by_id()
    fixed.by_plate()
    return Rows(
        plates=plates,
        stages=gathered,
        fixed=fixed,
        faults=faults,
        rooms=rooms,
        unseen=unseen,
        judged=speeds,
        changes=first_uses.changes(bottles),
    )


def _unseen(stages: Iterable[tuple[Any, ...]], wet_from: str | None) -> bool:
    """Return whether the wet time began at an end that no strike saw: that of the stage `wet_from`."""
    begins = [stage for stage in stages if stage[_STAGE] == wet_from]
    return any(
        stage[_HOW] is not None and stage[_HOW] not in SEEN and stage[_ENDS] not in (None, "exposure")
        for stage in begins
    )


def _wet_from(processes: Iterable[tuple[Any, ...]]) -> Iterator[tuple[str, str]]:
    """Yield (sum of a process, the stage whose end begins its wet time)."""
    for process_sum, _, body, _ in processes:
        window = json.loads(body).get("wet_window")
        if isinstance(window, dict):
            yield process_sum, str(window.get("from"))
