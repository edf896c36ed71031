"""The temperatures that count for a plate, and what its process usually takes at them. Pure."""

from __future__ import annotations

from darkroom.bench.state import PlateState, Trace
from darkroom.process import timing
from darkroom.process.model import Stage


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
