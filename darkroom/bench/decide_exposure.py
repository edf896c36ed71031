"""What is decided about a plate's exposure besides its strikes: plan, further opening, time told. Pure."""

from __future__ import annotations

from darkroom.bench import endings, refusals
from darkroom.bench import events as ev
from darkroom.bench.exposure import NO_LEAD_IN
from darkroom.bench.intents import Cause, SetPlan
from darkroom.bench.lines import Lines, Outcome, change, refuse
from darkroom.bench.state import PlateState
from darkroom.bench.steps import TOLD_OPEN


def add_exposure(state: PlateState, cause: Cause, seconds: float | None) -> Outcome:
    """Open the lens a further time after an exposure that has ended, before the developer."""
    index = endings.exposure_place(state.process)
    if index is None:
        return (), refusals.NO_EXPOSURE
    if state.phase == "ended":
        return (), refusals.FINISHED
    stage = state.process.stages[index]
    done = any(done.stage == stage.name for done in state.done)
    window = state.process.wet_window
    last = state.process.index(window.to) if window else index + 1
    if not done or state.index > last or (state.index == last and state.phase != "ready"):
        return refuse(state, cause, "add_exposure", refusals.ADD_BEFORE_DEVELOPER)
    part = max(2, len(state.parts) + 1)
    lines = Lines(state, cause)
    lines.add(
        ev.LeadInStarted,
        stage=stage.name,
        seconds=stage.lead_in or NO_LEAD_IN,
        part=part,
        planned=seconds,
    )
    return tuple(lines.lines), None


def tell_open(state: PlateState, cause: Cause, seconds: float) -> Outcome:
    """Note how long the lens was open, as the photographer tells it, where nobody saw it capped."""
    if not any(done.unseen for done in state.done):
        return (), refusals.OPEN_IS_KNOWN
    return change(state, cause, ev.Detail, key=TOLD_OPEN, value=f"{seconds:g} s"), None


def set_plan(state: PlateState, cause: Cause, wanted: SetPlan) -> Outcome:
    """Change the exposure plan, the aperture or the scene, until the lens is open."""
    index = endings.exposure_place(state.process)
    if index is None:
        return (), refusals.NO_EXPOSURE
    if state.phase == "ended":
        return (), refusals.FINISHED
    begun = state.phase == "running" or state.lead_part is not None
    if state.index > index or (state.index == index and begun):
        return (), refusals.EXPOSURE_MADE
    line = change(
        state, cause, ev.ExposureSet, plan=wanted.plan, aperture=wanted.aperture, scene=wanted.scene
    )
    return line, None
