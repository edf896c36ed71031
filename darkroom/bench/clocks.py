"""The times that follow from a plate's state: zeros, what is planned, how long it stays wet.

All instants and durations are seconds; `now` is an instant on the boot clock.
"""

from __future__ import annotations

from darkroom.bench import endings, temperatures
from darkroom.bench.exposure import exposure_planned, more_parts, plan_takes
from darkroom.bench.state import PlateState, Trace
from darkroom.process import timing, wetness

MARGIN = 15.0
"""What "back now" leaves beyond carrying and the lead-in, in seconds."""
USUAL_CARRY = 60.0
"""The way back from the camera when none was typed, in seconds (common practice, no source)."""


def zero(state: PlateState) -> float | None:
    """Return the instant at which the present phase reaches zero, or None when it counts up."""
    if state.phase == "lead_in":
        return state.since + state.lead_seconds
    if state.phase != "running":
        return None
    return endings.of(state.stage).zero(state)


def automatic_zero(state: PlateState) -> float | None:
    """Return the instant at which the plate goes on by itself, or None; a held plate never does."""
    if state.held or state.racked:
        return None
    if state.phase == "lead_in":
        return zero(state)
    if state.phase == "running" and endings.of(state.stage).goes_on and not more_parts(state):
        return zero(state)
    return None


def planned(state: PlateState) -> float | None:
    """Return the whole time of the running stage as it stands now, or None."""
    if state.phase != "running":
        return None
    if endings.of(state.stage).opens_lens:
        return exposure_planned(state)
    at = zero(state)
    return None if at is None else at - state.since


def law_seconds(state: PlateState, index: int | None = None) -> float | None:
    """Return what a stage's law gives at the temperature that counts now, or None."""
    at = state.index if index is None else index
    return timing.stage_seconds(state.process, at, temperatures.celsius(state, state.process.stages[at])[0])


def wet_trace(state: PlateState) -> tuple[tuple[float, float, float], ...]:
    """Return (instant, °C, per cent) of the room, ascending."""
    room = temperatures.celsius_trace(state, "room")
    if len(room) == 1 == len(state.humidity) and room[0][0] == state.humidity[0][0]:
        return ((room[0][0], room[0][1], state.humidity[0][1]),)
    points = sorted({instant for instant, _, _ in room} | {instant for instant, _, _ in state.humidity})

    def at(trace: Trace, instant: float) -> float:
        value = trace[0][1]
        for when, reading, _ in trace:
            if when <= instant:
                value = reading
        return value

    return tuple((instant, at(room, instant), at(state.humidity, instant)) for instant in points)


def dry_instant(state: PlateState) -> float | None:
    """Return when the plate is past wet, or None while no wet clock runs."""
    window = state.process.wet_window
    if window is None or state.wet_from is None or state.wet_until is not None or state.phase == "ended":
        return None
    return wetness.dry_at(window, wet_trace(state), state.wet_from, state.wet_time)


def wet_clock_ends(state: PlateState) -> float | None:
    """Return when the plate is past wet, or None while nothing depends on it.

    As `dry_instant`, but None behind a developer that was left out: no developer waits for that plate.
    """
    window = state.process.wet_window
    if window is None or state.index > state.process.index(window.to):
        return None
    return dry_instant(state)


def wet_window(state: PlateState) -> float | None:
    """Return how long a plate would stay wet in the room as it is now, or None."""
    window = state.process.wet_window
    if window is None:
        return None
    if state.wet_time is not None:
        return state.wet_time
    _, degrees, percent = wet_trace(state)[-1]
    return wetness.window_seconds(window, degrees, percent)


def wet_is_assumed(state: PlateState) -> bool:
    """True while the wet time is reckoned with a temperature or a humidity that nobody read or typed."""
    if state.wet_time is not None:
        return False
    traces = (temperatures.celsius_trace(state, "room"), state.humidity)
    return any(trace[-1][2] == "assumed" for trace in traces if trace)


def carry(state: PlateState) -> float:
    """Return the way back from the camera in seconds: typed, the median of the log, or what is assumed."""
    if state.start.carry is not None:
        return state.start.carry
    return assumed_carry(state.start.timed)


def assumed_carry(timed: str) -> float:
    """Return the way back from the camera that is assumed where none was typed, in seconds."""
    return USUAL_CARRY if timed == "away" else 0.0


def back_reserve(state: PlateState) -> float:
    """Return the wet time left at which it is "back now": carrying, lead-in and a margin."""
    window = state.process.wet_window
    lead_in = state.process.stage(window.to).lead_in if window else None
    return carry(state) + (lead_in or 0.0) + MARGIN


def wet_needed(state: PlateState) -> float | None:
    """Return about how much wet time the plate will need from the bath to the developer."""
    window = state.process.wet_window
    if window is None:
        return None
    first, last = state.process.index(window.from_) + 1, state.process.index(window.to)
    needed = carry(state) + (state.process.stages[last].lead_in or 0.0)
    for index in range(first, last):
        stage = state.process.stages[index]
        needed += stage.lead_in or 0.0
        if endings.of(stage).opens_lens:
            needed += plan_takes(state.plan) or 0.0
            continue
        law = law_seconds(state, index)
        usual_range = timing.expected(stage, temperatures.celsius(state, stage)[0])
        needed += law if law is not None else usual_range[1] if usual_range else stage.at_least or 0.0
    return needed
