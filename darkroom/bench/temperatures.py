"""The temperatures that count for a plate, and what its process usually takes at them. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench.state import PlateState, Trace
from darkroom.process import timing
from darkroom.process.model import Stage

Reading = tuple[ev.Temperature | ev.Humidity, float]
"""A reading and its instant."""


def celsius_trace(state: PlateState, source: str | None) -> Trace:
    """Return the readings of one source; 20 °C assumed when nothing at all is known of it."""
    known = state.temperatures.get(source or "room") or state.temperatures.get("room")
    return known or ((state.since, 20.0, "assumed"),)


def celsius(state: PlateState, stage: Stage | None = None) -> tuple[float, str]:
    """Return (°C, where it is from) of the liquid that counts for the stage."""
    _, value, origin = celsius_trace(state, (stage or state.stage).at)[-1]
    return value, origin


def plain(trace: Trace) -> tuple[tuple[float, float], ...]:
    """Return the trace as (instant, value) pairs."""
    return tuple((instant, value) for instant, value, _ in trace)


def over_usual(state: PlateState) -> float | None:
    """Return after how many seconds the stage is over its usual range, None without one.

    In a rehearsal that is the range's upper end in the hand's own seconds: hands are no faster there.
    """
    known = usual(state)
    return None if known is None else known[1] * state.pace


def usual(state: PlateState) -> tuple[float, float] | None:
    """Return the usual (least, most) seconds of the stage at the temperature that counts now."""
    return timing.expected(state.stage, celsius(state)[0])


def with_readings(state: PlateState, readings: Sequence[Reading]) -> PlateState:
    """Return the state after readings in a row: each trace is copied once, not once a reading."""
    if not readings:
        return state
    added: dict[str, list[tuple[float, float, str]]] = {}
    humidity = list(state.humidity)
    for line, instant in readings:
        if isinstance(line, ev.Humidity):
            humidity.append((instant, line.percent, line.from_))
        else:
            added.setdefault(line.source, []).append((instant, line.celsius, line.from_))
    traces = {source: (*state.temperatures.get(source, ()), *trace) for source, trace in added.items()}
    return replace(state, temperatures={**state.temperatures, **traces}, humidity=tuple(humidity))
