"""The rows behind the trends, read from the catalogue: of each plate the one value that is packed for them.

Every value that is read is checked by its row's sum, the structure of its table is looked at and its rows are
counted, so that a damaged catalogue is filled anew and never told from.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from darkroom.log.bottles.files import read_shelf
from darkroom.log.catalogue.catalogue import DECODED
from darkroom.log.catalogue.collodion_ages import ROLE, CollodionDates
from darkroom.log.catalogue.database import repairing
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.row_sums import damaged
from darkroom.log.catalogue.trend_plates import FACTS, PLATE, PackedUse
from darkroom.log.trends.changes import FirstUses
from darkroom.log.trends.facts import Key, Rows
from darkroom.log.trends.fixers import Fixers
from darkroom.log.trends.plate_columns import ByPlace, FixColumns, PlateColumns
from darkroom.log.trends.speed import Speeds
from darkroom.log.trends.stage_times import Gathered
from darkroom.solutions.plate_use import PlateUse

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue
    from darkroom.solutions.bottle import Bottle

FIXERS = ("fixer", "fixer_2")
"""The roles of a bottle that clears plates."""
_PLATE, _PROCESS, _STARS, _FIXER, _MOMENT = map(FACTS.index, ("plate", "process", "stars", "fixer", "moment"))


@repairing
def trend_rows(catalogue: Catalogue, query: Query) -> Rows:
    """Return the rows of the catalogue for the plates of a query."""
    shelf = read_shelf(catalogue.home)
    with catalogue.one_state():
        catalogue.check_structure(("trend_plates",))
        return _read(catalogue, query, shelf.bottles)


def _asked(catalogue: Catalogue, query: Query) -> Iterator[tuple[Any, ...]]:
    """Yield (whether it is asked for, path, shelf, packed, sum) of each plate of the shelf, by its path.

    What a query compares is looked at first, each row by its sum. Raises sqlite3.DatabaseError when there are
    more or fewer rows than plates.
    """
    shelf = "rehearsals" if query.rehearsals else "plates"
    where, values = query.where()
    asked = "1"
    if values == [shelf]:
        values = []
    else:
        catalogue.check_rows(("plates", "faults", "readings") if query.temperature else ("plates", "faults"))
        asked = f"path IN (SELECT path FROM plates WHERE {where})"
    (plates,) = next(catalogue.few("SELECT count(*) FROM plates WHERE shelf = ?", [shelf]))
    sql = f"SELECT {asked}, * FROM trend_plates WHERE shelf = ? ORDER BY path"
    for row in catalogue.checked(sql, [*values, shelf], before=1):
        plates -= 1
        yield row
    if plates:
        raise damaged()


def _read(catalogue: Catalogue, query: Query, bottles: Mapping[str, Bottle]) -> Rows:
    fixers, collodion = Fixers(bottles), CollodionDates(bottles)
    plates, fixed, rooms, speeds = PlateColumns(), FixColumns(), ByPlace(), Speeds()
    gathered, first_uses = Gathered(plates.ids), FirstUses()
    faults: dict[Key, Sequence[str]] = {}
    names_of_faults: dict[tuple[str, ...], tuple[str, ...]] = {}
    unseen: set[Key] = set()
    decode = PLATE.decode
    place = -1
    for is_asked, _, _, value, _ in _asked(catalogue, query):
        plate = decode(value)
        facts = plate.facts
        if plate.cleared:
            fixing = fixers.used(_uses_of(plate.uses, FIXERS))
            key = place + 1 if is_asked else -len(fixed) - 1
            for stage, seconds in plate.cleared:
                bottle, fixer = fixers.of_stage(fixing, stage, facts[_FIXER])
                fixed.append((key, facts[_PLATE], stage, fixer, seconds, bottle, bool(is_asked)))
        if not is_asked:
            continue
        place += 1
        plates.append(facts)
        gathered.take_plate(place, facts[_PROCESS], facts[_STARS], plate.steps, plate.times)
        if plate.unseen:
            unseen.add(place)
        if plate.room is not None:
            rooms.put(place, plate.room)
        if plate.faults:
            faults[place] = names_of_faults.setdefault(plate.faults, plate.faults)
        for role, _, _, bottle, name in plate.uses:
            first_uses.add(role, bottle, name, facts[_MOMENT])
        if plate.judged is not None:
            speeds.add(collodion.with_age(DECODED.decode(plate.judged), _uses_of(plate.uses, (ROLE,))))
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


def _uses_of(uses: Sequence[PackedUse], roles: Sequence[str]) -> Iterator[PlateUse]:
    """Yield the uses of some roles, with what tells which bottle it was and nothing else."""
    for role, stage, instant, bottle, name in uses:
        if role in roles:
            yield PlateUse("", 0, role, stage, instant, bottle, name)
