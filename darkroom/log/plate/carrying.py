"""The median way back from the camera of the plates of one bench, from their journals."""

from __future__ import annotations

from pathlib import Path

from darkroom.bench.carrying import Carrying, median_of, way_back
from darkroom.log.journal.find import newest as newest_plates
from darkroom.log.journal.merge import read_plate
from darkroom.log.plate.account import folded

NEWEST = 40
"""So many plates are looked back at: the way of today's place, not of last year's."""


def ways_back(home: Path, bench: str, newest: int = NEWEST) -> dict[str, Carrying]:
    """Return {"here" or "away": the median way back} of this bench's newest plates, timed in that way.

    Rehearsals and the plates of another bench do not count. Raises nothing: a journal that tells nothing is
    passed over.
    """
    seconds: dict[str, list[float]] = {}
    for path in newest_plates(home, newest):
        log = read_plate(path)
        if log.start is None or log.start.rehearsal or log.start.bench != bench:
            continue
        state = folded(log).state
        way = None if state is None else way_back(state)
        if way is not None:
            seconds.setdefault(log.start.timed, []).append(way)
    medians = {timed: median_of(ways) for timed, ways in seconds.items()}
    return {timed: median for timed, median in medians.items() if median is not None}
