"""The way back from the camera: how long plates took from the cap on to the developer's lead-in. Pure."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from darkroom.bench import endings
from darkroom.bench import events as ev
from darkroom.bench.standing import instants, standing
from darkroom.bench.state import PlateState

FEWEST = 3
"""So many plates must have been carried before their median counts."""


class Carrying(msgspec.Struct, frozen=True):
    """The median way back of some plates, in whole seconds."""

    seconds: float
    plates: int

    @property
    def origin(self) -> str:
        """Where it is from, in words."""
        return f"median of {self.plates} plates"


def median_of(ways_back: Sequence[float]) -> Carrying | None:
    """Return the median of the ways back of plates, in seconds; None for fewer than three."""
    if len(ways_back) < FEWEST:
        return None
    from statistics import median  # late: it is known after the first screen alone

    return Carrying(float(round(median(ways_back))), len(ways_back))


def way_back(state: PlateState) -> float | None:
    """Return the seconds from the exposure's end to the developer's lead-in, or None.

    An end that nobody saw, or that was only told of, is no instant to reckon from.
    """
    window, place = state.process.wet_window, endings.exposure_place(state.process)
    if window is None or place is None:
        return None
    lens = state.process.stages[place].name
    exposed = next((done for done in reversed(state.done) if done.stage == lens), None)
    if exposed is None or exposed.unseen or exposed.how in ("told", "skipped"):
        return None
    lines = standing(state.lines)
    when = instants(lines)
    began = [
        when[line.n]
        for line in lines
        if isinstance(line, ev.LeadInStarted | ev.StageStarted) and line.stage == window.to and line.n in when
    ]
    return max(0.0, min(began) - exposed.ended) if began else None
