"""What the log tells of its plates for the question why one of them failed: some hundred plates of it.

The plates up to the one asked for and some after it are read, whatever the size of the log. What a bottle was
then comes from the book; which causes were confirmed, from the whole log.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from statistics import fmean
from typing import TYPE_CHECKING, Any

import msgspec

from darkroom.bench.next_plate import next_stops
from darkroom.errors import DarkroomError
from darkroom.faults.catalogue import is_none_of_these
from darkroom.faults.history import MarkedFault, PlateFigures, StageFigures
from darkroom.log.catalogue.bottles_then import bottles_then
from darkroom.log.catalogue.database import Row, repairing
from darkroom.log.catalogue.fault_rows import fault_of_row, looked_for_of
from darkroom.log.catalogue.row_sums import damaged, sound
from darkroom.log.catalogue.schema import COUNTED, PLATE_COLUMNS, STAGE_COLUMNS
from darkroom.log.plate.parts import parts
from darkroom.log.plate.ratings import VALUES
from darkroom.process import timing
from darkroom.process.file.plain_form import from_plain
from darkroom.process.model import Process

if TYPE_CHECKING:
    from darkroom.faults.catalogue import Catalogue as Faults
    from darkroom.log.catalogue.catalogue import Catalogue
    from darkroom.solutions.bottle import Bottle
    from darkroom.solutions.recipe import Recipe

BEFORE, AFTER = 400, 40
"""So many plates up to the one asked for are looked at, and so many after it."""
AT_ONCE = 300
"""So many plates are selected at once; older SQLite takes at most 999 values."""


@repairing
def fault_history(
    log: Catalogue,
    faults: Faults,
    bottles: Mapping[str, Bottle],
    recipes: Mapping[str, Recipe],
    upto: str | None = None,
    *,
    whole: Collection[str] = (),
    sizes: Mapping[str, float] | None = None,
    before: int | None = None,
) -> list[PlateFigures]:
    """Return the plates around the one with the id `upto` (the newest ones without it), oldest first.

    They are the last `before` (BEFORE without it) of those up to it, and AFTER of those behind it.
    Rehearsals are never among them, nor plates that have lost their first line. `bottles` are those of the
    book, `recipes` those at hand, `sizes` as `joining.join` has them. The strength of a bath and the fresh
    fixer's clearing time are told of the plates in `whole` alone, and of `upto`. The log is as the catalogue
    has it.
    """
    log.check_plates()
    rows = _plates(log, upto, BEFORE if before is None else before)
    paths = [row["path"] for row in rows]
    marked = _by_path(log, "faults", paths)
    stages = _by_path(log, "stages", paths)
    readings = _by_path(log, "readings", paths)
    processes = _processes(log, {row["process_sum"] for row in rows})
    counts = {row["path"]: _counts(row) for row in rows}
    for table, read in (("faults", marked), ("stages", stages), ("readings", readings)):
        if any(len(read.get(path, ())) != of[table] for path, of in counts.items()):
            raise damaged()
    uses = sum(of["uses"] for of in counts.values())
    then = bottles_then(log, paths, uses, bottles, recipes, sizes)
    found = []
    for row in rows:
        path, plate = row["path"], row["plate"]
        judged_faults = [fault_of_row(fault) for fault in sorted(marked.get(path, ()))]
        own_stages = [dict(zip(STAGE_COLUMNS[1:], stage, strict=True)) for stage in stages.get(path, ())]
        found.append(
            PlateFigures(
                plate=plate,
                number=row["number"] or 0,
                process=row["process"],
                instant=row["moment"],
                day=row["day"],
                judged=bool(judged_faults) or any(row[name] is not None for name in VALUES),
                faults=tuple(
                    MarkedFault(name=one.name, where=one.where, cause=one.cause, answers=dict(one.answers))
                    for one in judged_faults
                ),
                looked_for=faults.looked_for(looked_for_of(row["nothing_else"])) or None,
                stars=row["stars"],
                stops=next_stops(row["exposure_stops"], row["exposure_word"], row["best_strip"]),
                proposed=row["proposed"],
                exposed=row["exposed"],
                first_seen=row["first_seen"],
                wet_used=row["wet_used"],
                wet_about=row["wet_about"],
                humidity=row["humidity"] if row["humidity_from"] not in (None, "assumed") else None,
                temperatures=_temperatures(own_stages, readings.get(path, ())),
                stages=_stages(processes.get(row["process_sum"]), own_stages),
                bottles=then.of(plate, plate == upto or plate in whole),
                holder=row["holder"],
                camera=row["camera"],
            )
        )
    return found


def _counts(row: Row) -> dict[str, int]:
    """Return {table: how many rows the plate has in it}."""
    return dict(zip(COUNTED, map(int, row["row_counts"].split()), strict=True))


def _plates(log: Catalogue, upto: str | None, most: int) -> list[Row]:
    """Return the rows of the plates, oldest first; one of an id that stands twice in the log."""
    columns = ", ".join((*PLATE_COLUMNS, "row_sum"))
    sql = f"SELECT {columns} FROM plates WHERE shelf = 'plates' AND "
    before = [*sound(log.few(sql + "plate <= ? ORDER BY plate DESC, path LIMIT ?", (upto or "~", most)))]
    after = [] if upto is None else sound(log.few(sql + "plate > ? ORDER BY plate LIMIT ?", (upto, AFTER)))
    rows = [dict(zip(PLATE_COLUMNS, values, strict=True)) for values in (*reversed(before), *after)]
    unique = {row["plate"]: row for row in rows if row["process"] is not None and row["moment"] is not None}
    return sorted(unique.values(), key=lambda row: (row["moment"], row["plate"]))


def _by_path(log: Catalogue, table: str, paths: Sequence[Any]) -> dict[Any, list[tuple[Any, ...]]]:
    """Return {path: its rows of a table, without path and sum}."""
    found: dict[Any, list[tuple[Any, ...]]] = {}
    for start in range(0, len(paths), AT_ONCE):
        some = paths[start : start + AT_ONCE]
        rows = log.few(f"SELECT * FROM {table} WHERE path IN ({', '.join('?' * len(some))})", some)
        for path, *values in sound(rows):
            found.setdefault(path, []).append(tuple(values))
    return found


def _processes(log: Catalogue, sums: Collection[str]) -> dict[str, Process]:
    """Return {sum: the process as it was then}; one that cannot be told is left out."""
    found = {}
    for process_sum in sums:
        rows = [*sound(log.few("SELECT * FROM processes WHERE sum = ?", (process_sum,)))]
        if not rows:
            raise damaged()
        for _, _, body in rows:
            try:
                found[process_sum] = from_plain(msgspec.json.decode(str(body)))
            except (DarkroomError, msgspec.DecodeError):
                continue
    return found


def _read(celsius: float | None, origin: str | None) -> float | None:
    """Return a temperature that was read or typed; an assumed one is none."""
    return None if origin in (None, "assumed") else celsius


def _temperatures(stages: Sequence[Row], readings: Sequence[tuple[Any, ...]]) -> dict[str, float]:
    """Return {source: °C} as it counted for the first stage at it, else the mean of what was read."""
    read: dict[str, list[float]] = {}
    for source, celsius, origin in readings:
        if _read(celsius, origin) is not None:
            read.setdefault(source, []).append(celsius)
    found = {source: round(fmean(values), 2) for source, values in sorted(read.items())}
    for stage in reversed(stages):
        celsius = _read(stage["celsius"], stage["origin"])
        if celsius is not None:
            found[stage["source"]] = celsius
    return found


def _stages(process: Process | None, stages: Sequence[Row]) -> dict[str, StageFigures]:
    """Return {part: what it took}; a stage that was left out, or told afterwards, took no known time."""
    if process is None:
        return {}
    known = parts(process)
    found: dict[str, StageFigures] = {}
    for row in stages:
        part = known.get(row["stage"])
        if part is None or row["how"] in ("skipped", "told") or row["seconds"] is None:
            continue
        figures = _stage(process, row)
        found[part] = figures if part not in found else _both(found[part], figures)
    return found


def _stage(process: Process, row: Row) -> StageFigures:
    stage = process.stage(row["stage"])
    celsius = row["celsius"]
    if celsius is None:
        celsius = process.temperatures.get(stage.at or "room", 20.0)
    return StageFigures(
        seconds=row["seconds"],
        planned=row["planned"],
        celsius=_read(row["celsius"], row["origin"]),
        cleared=row["cleared"],
        usual=timing.expected(stage, celsius),
    )


def _both(first: StageFigures, second: StageFigures) -> StageFigures:
    """Return two stages of one part as one."""
    planned = (first.planned, second.planned)
    return StageFigures(
        seconds=first.seconds + second.seconds,
        planned=None if None in planned else sum(filter(None, planned)),
        celsius=first.celsius if first.celsius is not None else second.celsius,
        cleared=first.cleared if first.cleared is not None else second.cleared,
        usual=_sum_of(first.usual, second.usual),
    )


def _sum_of(
    first: tuple[float, float] | None, second: tuple[float, float] | None
) -> tuple[float, float] | None:
    return None if first is None or second is None else (first[0] + second[0], first[1] + second[1])


class Confirmed(msgspec.Struct, frozen=True, kw_only=True):
    """How often the photographer said what a fault came from.

    `causes` are {cause id: plates}, `plates` those with any such word, "none of these" too.
    """

    causes: Mapping[str, int] = {}
    plates: int = 0


@repairing
def confirmed_causes(log: Catalogue, faults: Faults) -> Confirmed:
    """Return the confirmed causes of the whole log; rehearsals are none of it.

    A plate counts once for a cause. A cause that is not in the catalogue is not counted.
    """
    log.check_plates()
    ((indexed, present),) = log.few(
        "SELECT (SELECT count(*) FROM faults INDEXED BY faults_by_cause WHERE cause IS NOT NULL), "
        "(SELECT count(cause) FROM faults NOT INDEXED)"
    )
    if indexed != present:
        raise damaged()
    sql = (
        "SELECT faults.* FROM faults CROSS JOIN plates USING (path) "  # the few confirmed ones come first
        "WHERE faults.cause IS NOT NULL AND plates.shelf = 'plates'"
    )
    by_cause: dict[str, set[Any]] = {}
    every: set[Any] = set()
    for path, *row in sound(log.few(sql)):
        said = fault_of_row(row).cause or ""
        cause = faults.cause(said)
        if cause is not None:
            by_cause.setdefault(cause.id, set()).add(path)
        if cause is not None or is_none_of_these(said):
            every.add(path)
    return Confirmed(causes={cause: len(paths) for cause, paths in by_cause.items()}, plates=len(every))
