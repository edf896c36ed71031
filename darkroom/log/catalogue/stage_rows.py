"""The rows of a plate's stages and readings in the catalogue, from its state."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from darkroom.bench import endings
from darkroom.bench.state import PlateState, Trace
from darkroom.process import timing
from darkroom.process.model import Process
from darkroom.process.same_process import SameProcess

StageRow = tuple[str | float | None, ...]
MOST_LAWS = 4096
"""So many results of its laws are kept for each process."""
UNKNOWN_LAW: Any = object()


class Stages:
    """The stages of a process, {name: its place}, and what their laws gave, {(place, °C): seconds}.

    `open_lens` are the names of those in which the lens is open.
    """

    __slots__ = ("laws", "open_lens", "places", "process")

    def __init__(self, process: Process) -> None:
        self.process = process
        self.places = {stage.name: place for place, stage in enumerate(process.stages)}
        self.open_lens = {stage.name for stage in process.stages if endings.of(stage).opens_lens}
        self.laws: dict[tuple[int, float], float | None] = {}

    def law(self, place: int, celsius: float) -> float | None:
        """Return the seconds of the stage at `place` at a temperature, or None when it has no time."""
        if len(self.laws) > MOST_LAWS:
            self.laws.clear()
        seconds = timing.stage_seconds(self.process, place, celsius)
        self.laws[place, celsius] = law = None if seconds is None else round(seconds, 3)
        return law


def stages_of(process: Process) -> Stages:
    """Return what is worked out once of a process."""
    return _stages_of(SameProcess(process))


@lru_cache(maxsize=16)
def _stages_of(same: SameProcess) -> Stages:
    return Stages(same.process)


def stage_rows(state: PlateState | None) -> list[StageRow]:
    """Return (position, stage, ends, planned, seconds, how, source, celsius, from, law, cleared, exposed)."""
    if state is None:
        return []
    process = stages_of(state.process)
    stages, temperatures = process.process.stages, state.temperatures
    rows: list[StageRow] = []
    for position, done in enumerate(state.done, 1):
        place = process.places.get(done.stage)
        ends = source = celsius = origin = law = None
        if place is not None:
            stage = stages[place]
            ends, source = stage.ends, stage.at
            trace = temperatures.get(source or "", ())
            if len(trace) == 1:
                _, celsius, origin = trace[0]
            elif trace:
                celsius, origin = _temperature_at(trace, done.started)
            if celsius is not None:
                law = process.laws.get((place, celsius), UNKNOWN_LAW)
                if law is UNKNOWN_LAW:
                    law = process.law(place, celsius)
        planned, cleared, exposed = done.planned, done.cleared, done.exposed
        rows.append(
            (
                position,
                done.stage,
                ends,
                None if planned is None else round(planned, 3),
                round(done.ended - done.started, 3),
                done.how,
                source,
                celsius,
                origin,
                law,
                None if cleared is None else round(cleared, 3),
                None if exposed is None else round(exposed, 3),
            )
        )
    return rows


def _temperature_at(trace: Trace, instant: float) -> tuple[float | None, str | None]:
    """Return the temperature of a trace that counted at an instant, and where it was from."""
    celsius_and_origin: tuple[float | None, str | None] = (None, None)
    for at, celsius, origin in trace:
        if celsius_and_origin[0] is not None and at > instant:
            break
        celsius_and_origin = (celsius, origin)
    return celsius_and_origin


def reading_rows(state: PlateState | None) -> list[StageRow]:
    """Return (source, celsius, from) of each different value of the plate."""
    if state is None:
        return []
    distinct = {
        (source, celsius, origin): None
        for source, trace in state.temperatures.items()
        for _, celsius, origin in trace
    }
    return sorted(distinct)
