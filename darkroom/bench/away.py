"""What a time in which nobody watched does to a plate: a sleep, or the program was not there. Pure."""

from __future__ import annotations

from msgspec.structs import replace

from darkroom.bench import clocks, endings, exposure
from darkroom.bench import events as ev
from darkroom.bench.state import PlateState


def away(state: PlateState, left: float, back: float) -> PlateState:
    """Return the plate after a time away from `left` to `back`.

    A lead-in falls back, an automatic zero is held. What should have been called within an exposure (the cap
    between two steps, the next step, a flash) passes unseen.
    """
    if state.phase == "running" and any(left < at <= back for at in _calls_within_exposure(state)):
        state = replace(state, parts=(*state.parts[:-1], replace(state.parts[-1], unseen=True)))
    zero = clocks.automatic_zero(state)
    if zero is None or not left < zero <= back:
        return state
    if state.phase == "lead_in":
        return replace(state, phase="ready", since=left)
    return replace(state, held=True)


def resumed(state: PlateState, line: ev.Resumed, instant: float) -> PlateState:
    """Return the plate after its `resumed` line, with what that makes doubtful of when things began."""
    state = away(state, instant - line.gap, instant)
    if line.by != "wall":
        return state
    behind = not line.gap  # the wall clock stood behind the last line: the true gap is longer
    return replace(
        state,
        estimated=True,
        estimated_before=instant,
        longer_ago_before=instant if behind else state.longer_ago_before,
    )


def _calls_within_exposure(state: PlateState) -> tuple[float, ...]:
    """Return when the running exposure calls before its end."""
    if not endings.of(state.stage).opens_lens or not state.parts:
        return ()
    if exposure.more_parts(state):
        capped = clocks.zero(state)
        return () if capped is None else (capped,)
    return exposure.step_instants(state.plan, state.since)
