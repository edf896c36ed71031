"""One plate read from its journals into rows of the catalogue's tables."""

from __future__ import annotations

from collections import deque
from collections.abc import Generator, Sequence
from typing import Any

import msgspec

from darkroom.log.catalogue.disk_state import UNKNOWN, JournalGroup, key
from darkroom.log.catalogue.fault_rows import fault_row
from darkroom.log.catalogue.helper_processes import interrupts_blocked
from darkroom.log.catalogue.row_sums import with_sum
from darkroom.log.catalogue.rows import Value, plate_rows_of
from darkroom.log.catalogue.schema import COUNTED, PLATE_COLUMNS
from darkroom.log.journal.merge import merge
from darkroom.log.journal.read import read_file

Cell = Value | bytes
BATCH_SIZE = 250
"""So many plates are written in one transaction: other programs can write in between."""
LEAST_BATCHES_FOR_HELPERS = 8
"""With fewer batches, starting other processes costs more time than it saves."""


class Filled(msgspec.Struct, frozen=True):
    """The rows of the plate whose first file has the key `first`, by table; last in each its sum."""

    first: Cell
    tables: dict[str, list[tuple[Any, ...]]]


def fill(folder: Cell, group: JournalGroup) -> Filled:
    """Read the plate of a group. Raises nothing: what is wrong with its files is in its rows."""
    journal_files = [read_file(path) for path, _ in group.files]
    log = merge(group.plate, journal_files)
    first = key(group.files[0][0])
    plate_rows = plate_rows_of(log, group.collection)
    plate_row = {**plate_rows.plate, "path": first}
    files = [
        (key(path), first, folder, *(state if journal_file.readable else UNKNOWN))
        for (path, state), journal_file in zip(group.files, journal_files, strict=True)
    ]
    tables: dict[str, list[tuple[Any, ...]]] = {
        "stages": [(first, *row) for row in plate_rows.stages],
        "readings": [(first, *row) for row in plate_rows.readings],
        "faults": [
            (first, *fault_row(position, fault)) for position, fault in enumerate(plate_rows.faults, 1)
        ],
        "problems": [(first, *row) for row in plate_rows.problems],
        "processes": [plate_rows.process] if plate_rows.process else [],
        "exposures": [(first, *plate_rows.exposure)] if plate_rows.exposure else [],
        "uses": [(first, position, *row) for position, row in enumerate(plate_rows.uses, 1)],
        "files": files,
    }
    plate_row["row_counts"] = " ".join(str(len(tables[table])) for table in COUNTED)
    tables["plates"] = [tuple(plate_row[name] for name in PLATE_COLUMNS)]
    return Filled(first, {name: list(map(with_sum, rows)) for name, rows in tables.items()})


def filled(due: Sequence[tuple[Cell, JournalGroup]], helpers: int) -> Generator[list[Filled], None, None]:
    """Yield the plates of each batch, in order; with more than one of `helpers`, in so many processes.

    The main module of a program that uses helpers is imported again by each (`if __name__ == "__main__"`).
    An interrupt reaches this process alone; closing the generator ends the helpers, each after the batches
    that it has.
    """
    batches = [due[start : start + BATCH_SIZE] for start in range(0, len(due), BATCH_SIZE)]
    if helpers < 2 or len(batches) < LEAST_BATCHES_FOR_HELPERS:
        yield from map(_fill_batch, batches)
        return
    import multiprocessing
    from concurrent.futures import Future, ProcessPoolExecutor

    pool = ProcessPoolExecutor(helpers, mp_context=multiprocessing.get_context("spawn"))
    try:
        ahead: deque[Future[list[Filled]]] = deque()
        for batch in batches:
            with interrupts_blocked():  # the first starts the helpers
                ahead.append(pool.submit(_fill_batch, batch))
            if len(ahead) > 2 * helpers:
                yield ahead.popleft().result()
        while ahead:
            yield ahead.popleft().result()
    finally:
        with (
            interrupts_blocked()
        ):  # a second interrupt would leave the helpers to the end of Python, with a trace
            pool.shutdown(cancel_futures=True)


def _fill_batch(batch: Sequence[tuple[Cell, JournalGroup]]) -> list[Filled]:
    return [fill(folder, group) for folder, group in batch]


def storable(batch: list[Filled]) -> list[Filled]:
    """Return the rows with every value as the tables can keep it."""
    return [
        Filled(
            filled_plate.first,
            {
                name: [with_sum(tuple(map(_storable_value, row[:-1]))) for row in rows]
                for name, rows in filled_plate.tables.items()
            },
        )
        for filled_plate in batch
    ]


def _storable_value(value: Cell) -> Cell:
    """Return a value as the tables can keep it: a number beyond 64 bits as text, odd signs replaced."""
    if isinstance(value, str):
        return value if value.isascii() else value.encode("utf-8", "replace").decode()
    if isinstance(value, int) and not -(1 << 63) <= value < 1 << 63:
        return str(value)
    return value
