"""One plate read from its journals into rows of the catalogue's tables."""

from __future__ import annotations

import gc
from collections import deque
from collections.abc import Generator, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from itertools import count
from typing import Any

import msgspec

from darkroom.log.catalogue import trend_plates
from darkroom.log.catalogue.disk_state import UNKNOWN, JournalGroup, key
from darkroom.log.catalogue.fault_rows import fault_of_row, fault_row
from darkroom.log.catalogue.helper_processes import interrupts_blocked
from darkroom.log.catalogue.plate_line import line
from darkroom.log.catalogue.row_sums import rows_of, with_sum
from darkroom.log.catalogue.rows import Value, plate_rows_of
from darkroom.log.catalogue.schema import COUNTED, PLATE_COLUMNS
from darkroom.log.journal.merge import merge
from darkroom.log.journal.read import read_file
from darkroom.log.journal.straight_file import straight_log
from darkroom.log.plate.faults import JudgedFault

Cell = Value | bytes
BATCH_SIZE = 250
"""So many plates are written in one transaction: other programs can write in between."""
LEAST_BATCHES_FOR_HELPERS = 8
"""With fewer batches, starting other processes costs more time than it saves."""


class Filled(msgspec.Struct, frozen=True, gc=False):
    """The rows of the plate whose first file has the key `first`, by table; last in each its sum."""

    first: Any
    tables: dict[str, list[Sequence[Any]]]


_BATCH = msgspec.msgpack.Decoder(list[Filled])


def fill(folder: Cell, group: JournalGroup) -> Filled:
    """Read the plate of a group. Raises nothing: what is wrong with its files is in its rows."""
    log = straight_log(group.files[0][0], group.plate) if len(group.files) == 1 else None
    readable = [True]
    if log is None:
        journal_files = [read_file(path) for path, _ in group.files]
        log = merge(group.plate, journal_files)
        readable = [journal_file.readable for journal_file in journal_files]
    first = key(group.files[0][0])
    plate_rows = plate_rows_of(log, group.collection)
    tables: dict[str, list[Sequence[Any]]] = {
        "stages": rows_of(first, plate_rows.stages),
        "readings": rows_of(first, plate_rows.readings),
        "faults": rows_of(first, map(fault_row, count(1), plate_rows.faults)),
        "problems": rows_of(first, plate_rows.problems),
        "processes": [_process_row(plate_rows.process)] if plate_rows.process else [],
        "exposures": rows_of(first, [plate_rows.exposure] if plate_rows.exposure else ()),
        "uses": rows_of(first, [(position, *row) for position, row in enumerate(plate_rows.uses, 1)]),
        "trend_plates": rows_of(first, [(group.collection, trend_plates.packed(plate_rows))]),
        "files": [
            with_sum((key(path), first, folder, *(state if good else UNKNOWN)))
            for (path, state), good in zip(group.files, readable, strict=True)
        ],
    }
    plate_row: dict[str, Any] = plate_rows.plate
    plate_row["row_counts"] = " ".join([str(len(tables[table])) for table in COUNTED])
    tables["listed"] = [_listed_row(first, plate_row, plate_rows.faults)]
    tables["plates"] = rows_of(first, [map(plate_row.__getitem__, PLATE_COLUMNS[1:])])
    return Filled(first, tables)


def _listed_row(first: Any, plate_row: dict[str, Any], faults: Sequence[JudgedFault]) -> tuple[Any, ...]:
    text = line({**plate_row, "faults": faults})
    return with_sum((first, plate_row["shelf"], plate_row["plate"], text))


@lru_cache(maxsize=16)
def _process_row(process: tuple[str, str, str]) -> tuple[Any, ...]:
    return with_sum(process)


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
        ahead: deque[Future[bytes | list[Filled]]] = deque()
        for batch in batches:
            with interrupts_blocked():  # the first starts the helpers
                ahead.append(pool.submit(_packed_batch, batch))
            if len(ahead) > 2 * helpers:
                yield _unpacked(ahead.popleft().result())
        while ahead:
            yield _unpacked(ahead.popleft().result())
    finally:
        with (
            interrupts_blocked()
        ):  # a second interrupt would leave the helpers to the end of Python, with a trace
            pool.shutdown(cancel_futures=True)


def _fill_batch(batch: Sequence[tuple[Cell, JournalGroup]]) -> list[Filled]:
    with _without_collector():
        plates = [fill(folder, group) for folder, group in batch]
    known: set[Any] = set()
    for plate in plates:  # a process is long, and most plates of a batch have the same
        rows = plate.tables["processes"]
        if rows and rows[0] in known:
            rows.clear()
        known.update(rows)
    return plates


@contextmanager
def _without_collector() -> Iterator[None]:
    """Hold the search for reference cycles back: a batch makes thousands of rows, and no cycle."""
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_enabled:
            gc.enable()


def _packed_batch(batch: Sequence[tuple[Cell, JournalGroup]]) -> bytes | list[Filled]:
    """Return the plates of a batch for another process: packed, unless a value cannot be."""
    batch_filled = _fill_batch(batch)
    try:
        return msgspec.msgpack.encode(batch_filled)
    except (UnicodeEncodeError, OverflowError):
        return batch_filled


def _unpacked(batch: bytes | list[Filled]) -> list[Filled]:
    return _BATCH.decode(batch) if isinstance(batch, bytes) else batch


def storable(batch: list[Filled]) -> list[Filled]:
    """Return the rows with every value as the tables can keep it."""
    kept = []
    for plate in batch:
        tables: dict[str, list[Sequence[Any]]] = {
            name: [with_sum(_kept_row(name, row[:-1])) for row in rows] for name, rows in plate.tables.items()
        }
        plate_row = dict(zip(PLATE_COLUMNS, tables["plates"][0], strict=False))
        faults = [fault_of_row(row[1:-1]) for row in tables["faults"]]
        tables["listed"] = [_listed_row(plate.first, plate_row, faults)]
        kept.append(Filled(plate.first, tables))
    return kept


def _kept_row(table: str, values: Sequence[Any]) -> tuple[Any, ...]:
    kept = tuple(map(trend_plates.kept_value, values))
    return (*kept[:-1], trend_plates.storable(kept[-1])) if table == "trend_plates" else kept
