"""One plate read from its journals into rows of the catalogue's tables."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from typing import Any

import msgspec

from darkroom.log.catalogue.disk_state import UNKNOWN, Group, key
from darkroom.log.catalogue.rows import Value, entry
from darkroom.log.catalogue.schema import PLATE_COLUMNS
from darkroom.log.journal.merge import merge
from darkroom.log.journal.read import read_file

Cell = Value | bytes
TURN = 250
"""So many plates are put in at a time: other programs get their turn in between."""
WORTH_HELPERS = 8
"""From so many turns on, starting other processes pays."""


class Filled(msgspec.Struct, frozen=True):
    """The rows of the plate whose first file has the key `first`, by table."""

    first: Cell
    tables: dict[str, list[tuple[Any, ...]]]


def fill(folder: Cell, group: Group) -> Filled:
    """Read the plate of a group. Raises nothing: what is wrong with its files is in its rows."""
    journal_files = [read_file(path) for path, _ in group.files]
    log = merge(group.plate, journal_files)
    first = key(group.files[0][0])
    found = entry(log, group.shelf)
    plate = {**found.plate, "path": first}
    files = [
        (key(path), first, folder, *(seen if journal_file.readable else UNKNOWN))
        for (path, seen), journal_file in zip(group.files, journal_files, strict=True)
    ]
    tables: dict[str, list[tuple[Any, ...]]] = {
        "plates": [tuple(plate[name] for name in PLATE_COLUMNS)],
        "stages": [(first, *row) for row in found.stages],
        "readings": [(first, *row) for row in found.readings],
        "faults": [
            (first, position, fault.name, fault.where) for position, fault in enumerate(found.faults, 1)
        ],
        "problems": [(first, *row) for row in found.problems],
        "processes": [found.process] if found.process else [],
        "files": files,
    }
    return Filled(first, tables)


def filled(due: Sequence[tuple[Cell, Group]], helpers: int) -> Iterator[list[Filled]]:
    """Yield the plates of each turn, in order; with more than one of `helpers`, processes of their own read.

    A program that asks for helpers must bear being imported anew (`if __name__ == "__main__"`).
    """
    turns = [due[start : start + TURN] for start in range(0, len(due), TURN)]
    if helpers < 2 or len(turns) < WORTH_HELPERS:
        yield from map(_turn, turns)
        return
    import multiprocessing
    from concurrent.futures import Future, ProcessPoolExecutor

    with ProcessPoolExecutor(helpers, mp_context=multiprocessing.get_context("spawn")) as pool:
        ahead: deque[Future[list[Filled]]] = deque()
        for turn in turns:
            ahead.append(pool.submit(_turn, turn))
            if len(ahead) > 2 * helpers:
                yield ahead.popleft().result()
        while ahead:
            yield ahead.popleft().result()


def _turn(turn: Sequence[tuple[Cell, Group]]) -> list[Filled]:
    return [fill(folder, group) for folder, group in turn]


def tamed(batch: list[Filled]) -> list[Filled]:
    """Return the rows with every value as the tables can keep it."""
    return [
        Filled(
            one.first, {name: [tuple(map(_kept, row)) for row in rows] for name, rows in one.tables.items()}
        )
        for one in batch
    ]


def _kept(value: Cell) -> Cell:
    """Return a value as the tables can keep it: a number beyond 64 bits as text, odd signs replaced."""
    if isinstance(value, str):
        return value if value.isascii() else value.encode("utf-8", "replace").decode()
    if isinstance(value, int) and not -(1 << 63) <= value < 1 << 63:
        return str(value)
    return value
