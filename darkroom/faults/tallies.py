"""How many judged plates had a fault and how many had not, by bottle, holder, camera and process. Pure.

A row tells something where its share differs from that of the other names of its kind by more than chance
makes likely: Wilks's likelihood ratio of the four counts, G = 2·Σ count·ln(count / expected), is compared
with chi-squared of one degree of freedom (the G-test of the statistics books).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from darkroom.faults.answer import FaultTally
from darkroom.faults.history import PlateFigures
from darkroom.faults.usual import before

LAST = 400
"""So many plates are counted, the last ones up to this one."""
MOST = 8
"""So many rows are told."""
FEWEST = 4
"""Fewer judged plates than this tell nothing."""
TELLING = 2.706
"""The G from which a row tells something: chance alone exceeds it in one of ten (chi-squared, one degree)."""
Key = tuple[str, str]
"""The kind and what tells one of it from the others: a bottle's id where it is known."""


def tallies(
    plate: PlateFigures, history: Sequence[PlateFigures], faults: Collection[str]
) -> tuple[FaultTally, ...]:
    """Return the rows that tell something about each of the faults, the most telling first, MOST at most.

    `history` are plates of all processes, oldest first; those after this plate do not count. Of rows that
    tell as much, the names that this plate had come first.
    """
    judged = [other for other in (*before(plate, history)[1 - LAST :], plate) if other.judged]
    own = {key for key, _ in _keys(plate)}
    rows: list[tuple[float, bool, int, FaultTally]] = []
    for fault in sorted(faults):
        for place, (key, told, row) in enumerate(_rows(judged, fault)):
            rows.append((-told, key not in own, place, row))
    rows.sort(key=lambda row: (round(row[0], 6), *row[1:3], row[3].fault))
    return tuple(row for *_, row in rows[:MOST])


def telling(having: int, lacking: int, others_having: int, others_lacking: int) -> float:
    """Return the G of four counts, 0 where they say nothing."""
    total = having + lacking + others_having + others_lacking
    sums = having + lacking, others_having + others_lacking
    faults = having + others_having, lacking + others_lacking
    counts = ((having, 0, 0), (lacking, 0, 1), (others_having, 1, 0), (others_lacking, 1, 1))
    return max(
        0.0,
        2 * sum(n * math.log(n * total / (sums[row] * faults[column])) for n, row, column in counts if n),
    )


def telling_rows(
    fault: str, counts: Mapping[Key, tuple[int, int]], names: Mapping[Key, str]
) -> Iterator[tuple[Key, float, FaultTally]]:
    """Yield the rows that tell something with their G; `counts` are {key: (plates with, plates without)}.

    A kind with a single name has none, it tells the plates from no others; nor has one of fewer plates than
    FEWEST.
    """
    of_kind: dict[str, list[tuple[int, int]]] = {}
    for (kind, _), count in counts.items():
        of_kind.setdefault(kind, []).append(count)
    sums = {
        kind: (sum(having for having, _ in rows), sum(lacking for _, lacking in rows))
        for kind, rows in of_kind.items()
    }
    for key, (having, lacking) in counts.items():
        all_having, all_lacking = sums[key[0]]
        if len(of_kind[key[0]]) < 2 or all_having + all_lacking < FEWEST:
            continue
        told = telling(having, lacking, all_having - having, all_lacking - lacking)
        if told >= TELLING:
            row = FaultTally(fault=fault, kind=key[0], name=names[key], having=having, lacking=lacking)
            yield key, told, row


def _rows(judged: Sequence[PlateFigures], fault: str) -> Iterator[tuple[Key, float, FaultTally]]:
    having: Counter[Key] = Counter()
    used: Counter[Key] = Counter()
    names: dict[Key, str] = {}
    for plate in judged:
        has = plate.has(fault)
        for key, name in _keys(plate):
            used[key] += 1
            having[key] += has
            names[key] = name
    counts = {key: (having[key], plates - having[key]) for key, plates in used.items()}
    yield from telling_rows(fault, counts, names)


def _keys(plate: PlateFigures) -> Iterator[tuple[Key, str]]:
    """Yield what a plate had: its kind and identity, and its name."""
    for role, bottle in plate.bottles.items():
        yield (role, bottle.id or bottle.name), bottle.name
    for kind, name in (("holder", plate.holder), ("camera", plate.camera), ("process", plate.process)):
        if name is not None:
            yield (kind, name), name
