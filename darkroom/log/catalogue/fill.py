"""One plate read from its journals into rows of the catalogue's tables."""

from __future__ import annotations

from collections import deque
from collections.abc import Generator, Iterator, Sequence
from functools import lru_cache
from operator import itemgetter
from typing import Any

import msgspec

from darkroom.log.catalogue import trend_plates
from darkroom.log.catalogue.collector import collector_held
from darkroom.log.catalogue.disk_state import UNKNOWN, Due, JournalGroup, key
from darkroom.log.catalogue.fault_rows import fault_of_row, fault_row
from darkroom.log.catalogue.helper_processes import interrupts_blocked
from darkroom.log.catalogue.plate_line import line
from darkroom.log.catalogue.row_sums import add_sums, with_sum
from darkroom.log.catalogue.rows import PlateRows, Value, plate_rows_of
from darkroom.log.catalogue.schema import COUNTED, PLATE_COLUMNS
from darkroom.log.journal.merge import PlateLog, merge
from darkroom.log.journal.read import read_file
from darkroom.log.journal.straight_file import straight_log
from darkroom.log.plate.faults import JudgedFault

Cell = Value | bytes
BATCH_SIZE = 250
"""So many plates are written in one transaction: other programs can write in between."""
SHARE_SIZE, SHARE_BYTES = 32, 1 << 20
"""So many plates are read together, and of so many bytes but for one plate that has more."""
LEAST_BATCHES_FOR_HELPERS = 8
"""With fewer batches, starting other processes costs more time than it saves."""


class Filled(msgspec.Struct, frozen=True, gc=False):
    """The rows of the plate whose first file has the key `first`, by table; last in each its sum."""

    first: Any
    tables: dict[str, list[Sequence[Any]]]


_PLATE_VALUES = itemgetter(*PLATE_COLUMNS[1:])
_BATCH = msgspec.msgpack.Decoder(list[Filled])


def fill(folder: str | bytes, group: JournalGroup) -> Filled:
    """Read the plate of a group. Raises nothing: what is wrong with its files is in its rows."""
    [plate] = _fill_share([(folder, group)])
    return plate


def _fill_share(share: Sequence[Due]) -> list[Filled]:
    """Read some plates: each step for all of them before the next.

    The code of one step stays in the processor's cache then, and the plates of a share do too.
    """
    read = [_read(group) for _, group in share]
    known = [plate_rows_of(log, group.collection) for (log, _), (_, group) in zip(read, share, strict=True)]
    plates = [
        _without_sums(folder, group, readable, plate_rows)
        for (folder, group), (_, readable), plate_rows in zip(share, read, known, strict=True)
    ]
    unsummed: list[Any] = [
        row
        for plate in plates
        for table, rows in plate.tables.items()
        if table != "processes"
        for row in rows
    ]
    add_sums(unsummed)
    return plates


def _read(group: JournalGroup) -> tuple[PlateLog, list[bool]]:
    """Return the plate of a group, and of each of its files whether it could be read."""
    log = straight_log(group.files[0][0], group.plate) if len(group.files) == 1 else None
    if log is not None:
        return log, [True]
    journal_files = [read_file(path) for path, _ in group.files]
    return merge(group.plate, journal_files), [journal_file.readable for journal_file in journal_files]


def _without_sums(folder: Cell, group: JournalGroup, readable: list[bool], plate_rows: PlateRows) -> Filled:
    """Return the rows of a plate, none with its sum yet but that of its process."""
    first = key(group.files[0][0])
    exposure = plate_rows.exposure
    tables: dict[str, list[Any]] = {
        "stages": [[first, *row] for row in plate_rows.stages],
        "readings": [[first, *row] for row in plate_rows.readings],
        "faults": [[first, *fault_row(place, fault)] for place, fault in enumerate(plate_rows.faults, 1)],
        "problems": [[first, *row] for row in plate_rows.problems],
        "processes": [_process_row(plate_rows.process)] if plate_rows.process else [],
        "exposures": [[first, *exposure]] if exposure else [],
        "uses": [[first, position, *row] for position, row in enumerate(plate_rows.uses, 1)],
        "trend_plates": [[first, group.collection, trend_plates.packed(plate_rows)]],
        "files": [
            [key(path), first, folder, *(state if good else UNKNOWN)]
            for (path, state), good in zip(group.files, readable, strict=True)
        ],
    }
    plate_row: dict[str, Any] = plate_rows.plate
    plate_row["row_counts"] = " ".join([str(len(tables[table])) for table in COUNTED])
    tables["listed"] = [_listed_row(first, plate_row, plate_rows.faults)]
    tables["plates"] = [[first, *_PLATE_VALUES(plate_row)]]
    return Filled(first, tables)


def _listed_row(first: Any, plate_row: dict[str, Any], faults: Sequence[JudgedFault]) -> list[Any]:
    text = line({**plate_row, "faults": faults})
    return [first, plate_row["shelf"], plate_row["plate"], text]


@lru_cache(maxsize=16)
def _process_row(process: tuple[str, str, str]) -> tuple[Any, ...]:
    return with_sum(process)


def filled(due: Sequence[Due], helpers: int) -> Generator[list[Filled], None, None]:
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


def _fill_batch(batch: Sequence[Due]) -> list[Filled]:
    with collector_held():
        plates = [plate for share in shares(batch) for plate in _fill_share(share)]
    known: set[Any] = set()
    for plate in plates:  # a process is long, and most plates of a batch have the same
        rows = plate.tables["processes"]
        if rows and rows[0] in known:
            rows.clear()
        known.update(rows)
    return plates


def shares(batch: Sequence[Due]) -> Iterator[list[Due]]:
    """Yield the plates of a batch in shares whose journals are in memory together."""
    share: list[Due] = []
    taken = 0
    for due in batch:
        size = sum([max(state[0], 0) for _, state in due[1].files])
        if share and (len(share) == SHARE_SIZE or taken + size > SHARE_BYTES):
            yield share
            share, taken = [], 0
        share.append(due)
        taken += size
    if share:
        yield share


def _packed_batch(batch: Sequence[Due]) -> bytes | list[Filled]:
    """Return the plates of a batch for another process: packed, unless a value cannot be."""
    with collector_held():
        batch_filled = _fill_batch(batch)
        try:
            packed = msgspec.msgpack.encode(batch_filled)
        except (UnicodeEncodeError, OverflowError):
            return batch_filled
        del batch_filled  # the collector would look at every row of it
    return packed


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
        tables["listed"] = [with_sum(tuple(_listed_row(plate.first, plate_row, faults)))]
        kept.append(Filled(plate.first, tables))
    return kept


def _kept_row(table: str, values: Sequence[Any]) -> tuple[Any, ...]:
    kept = tuple(map(trend_plates.kept_value, values))
    return (*kept[:-1], trend_plates.storable(kept[-1])) if table == "trend_plates" else kept
