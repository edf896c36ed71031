"""What the tool answers when it is asked to tell: plate, stage, time, wet time, what to do. Pure.

Nothing changes by it and nothing is written: it is no strike of any plate.
"""

from __future__ import annotations

import math

from darkroom.bench import clocks, moments
from darkroom.bench.all_plates import Bench
from darkroom.bench.cues import plate_words
from darkroom.bench.refusals import NO_PLATE
from darkroom.bench.state import PlateState
from darkroom.bench.view import PlateView, plate_view
from darkroom.process.text.durations import say_duration


def tell(bench: Bench, now: float) -> tuple[str, tuple[str, ...]]:
    """Return the answer for the large plate: as text, and as what is spoken."""
    state = bench.shown
    if state is None:
        return NO_PLATE, (NO_PLATE,)
    view = plate_view(state, now)
    told = [text for text in (_time(view), _wet(state, view), _to_do(state, view)) if text]
    written = f"plate {state.number}" if state.plate else "new plate"
    spoken = plate_words(state.number)
    return ", ".join([written, state.stage.shown.lower(), *told]), (spoken, state.stage.name, *told)


def _said(seconds: float) -> str:
    return say_duration(max(1, math.ceil(seconds - 1e-6)))


def _time(view: PlateView) -> str:
    """Return what the stage counts: "3 min left", "20 s over"."""
    match view.shape:
        case "ready":
            return "ready"
        case "lead_in" | "down":
            return f"{_said(view.seconds)} left"
        case "over":
            return f"{_said(view.seconds)} over"
        case "pause":
            return "cap on"
        case "held":
            return "held"
        case "rack":
            return "on the rack"
        case "ended":
            return "finished"
    return f"{_said(view.seconds)} so far"


def _wet(state: PlateState, view: PlateView) -> str:
    """Return the wet time left, while the wet clock runs."""
    dry = clocks.wet_clock_ends(state)
    if view.wet is None or dry is None:
        return ""
    if view.wet.past:
        return f"past wet {_said(-view.wet.left)}"
    return f"wet {_said(view.wet.left)}" + (" assumed" if clocks.wet_is_assumed(state) else "")


def _to_do(state: PlateState, view: PlateView) -> str:
    """Return what the hand does, now or at the next call."""
    process, stage = state.process, state.stage
    lead_in = moments.spoken_verb_of_lead_in(process, stage)
    due = moments.spoken_verb_when_due(process, stage)
    match view.shape:
        case "ready":
            return f"press, then {lead_in}" if stage.lead_in else "press"
        case "lead_in":
            return f"then {lead_in}"
        case "over" | "held":
            return due
        case "pause":
            return "press"
        case "rack" | "ended":
            return ""
    return f"then {due}"
