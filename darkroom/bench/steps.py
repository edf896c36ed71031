"""What each kind of a journal's lines does to the state of its plate. Pure."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from darkroom.bench import away, bottles, clocks, endings, temperatures
from darkroom.bench import events as ev
from darkroom.bench.standing import Line
from darkroom.bench.state import Done, Part, Phase, PlateState, Question
from darkroom.errors import QuantityError
from darkroom.process.text.durations import duration

TOLD_OPEN = "exposed"
"""The key of the detail that tells how long the lens was open; its value is a duration as it is typed."""
SAME_INSTANT = 1e-5
"""Two causes closer than this, in seconds, are of one instant."""


def step(state: PlateState, line: Line, instant: float | None) -> PlateState:
    """Return the state after a line that happened at `instant`; None where it has no time (review)."""
    change = STEPS.get(type(line))
    return state if change is None else change(state, line, instant)


def _known(state: PlateState, name: str) -> int:
    """Where the named stage stands; a name this process does not know changes nothing."""
    if state.process.stages[state.index].name == name:  # no two have one name
        return state.index
    try:
        return state.process.index(name)
    except KeyError:
        return state.index


def _lead_in(state: PlateState, line: ev.LeadInStarted, instant: float) -> PlateState:
    index = _known(state, line.stage)
    parts = state.parts if line.part else ()
    return replace(
        state,
        index=index,
        phase="lead_in",
        since=instant,
        lead_seconds=line.seconds,
        held=False,
        parts=parts,
        given=_given(state, line.stage) if line.part else None,
        cleared_at=None,
        refused=None,
        question=None,
        lead_part=line.part,
        lead_planned=line.planned,
        done=_without(state, line.stage) if line.part else state.done,
    )


def _start(state: PlateState, line: ev.StageStarted, instant: float) -> PlateState:
    index = _known(state, line.stage)
    stage = state.process.stages[index]
    parts: tuple[Part, ...] = ()
    since = instant
    if endings.of(stage).opens_lens:
        if line.part and line.part > 1:
            parts = (*closed(state.parts, instant), Part(instant, line.planned))
            since = parts[0].started
        else:
            parts = (Part(instant, line.planned),)
    window = state.process.wet_window
    wet_until = state.wet_until
    if window is not None and window.to == line.stage and state.wet_from is not None:
        wet_until = instant
    return replace(
        state,
        index=index,
        phase="running",
        since=since,
        parts=parts,
        given=_given(state, line.stage) if line.part and line.part > 1 else None,
        cleared_at=None,
        held=False,
        racked=False,
        celsius_at_start=line.celsius,
        wet_until=wet_until,
        refused=None,
        question=None,
        changes_noted=0,
        lead_part=None,
        lead_planned=None,
        automatic_at=instant if _by_itself(state, instant) else state.automatic_at,
        done=_without(state, line.stage) if line.part and line.part > 1 else state.done,
        bottle_changes=bottles.with_change(state, index, line),
    )


def _is_behind_zero(state: PlateState, instant: float | None) -> bool:
    """Whether an automatic zero passed by `instant`: not so when the step an undo held was taken back too."""
    zero = clocks.automatic_zero(state)
    return zero is not None and instant is not None and zero <= instant + SAME_INSTANT


def _by_itself(state: PlateState, instant: float) -> bool:
    """Return whether a stage that begins at `instant` was begun by the end of its lead-in, not struck."""
    end = clocks.zero(state) if state.phase == "lead_in" else None
    return end is not None and instant >= end - SAME_INSTANT


def _refused(state: PlateState, line: ev.Refused, instant: float) -> PlateState:
    question = None if line.asks is None else Question(line.asks, line.stage or state.stage.name, instant)
    return replace(state, refused=(line.intent, line.reason, instant), question=question)


def _told_open(state: PlateState, value: str) -> PlateState:
    """Return the state after the photographer told how long the lens was open that nobody saw capped."""
    try:
        seconds = duration(value)
    except QuantityError:
        return state
    done = tuple(replace(stage, exposed=seconds) if stage.unseen else stage for stage in state.done)
    return replace(state, done=done)


def _given(state: PlateState, stage: str) -> Done | None:
    """Return the exposure that is opened again, as it had ended."""
    return next((done for done in state.done if done.stage == stage), state.given)


def _without(state: PlateState, stage: str) -> tuple[Done, ...]:
    """What was done, less a stage that is opened again for a further part."""
    return tuple(done for done in state.done if done.stage != stage)


def closed(parts: tuple[Part, ...], instant: float) -> tuple[Part, ...]:
    """Return the openings of the lens with the last of them closed, at its planned end or before it."""
    if not parts or parts[-1].ended is not None:
        return parts
    last = parts[-1]
    ended = instant if last.planned is None else min(instant, last.started + last.planned)
    return (*parts[:-1], replace(last, ended=ended))


def _end(state: PlateState, line: ev.StageEnded, instant: float) -> PlateState:
    index = _known(state, line.stage)
    started = state.since
    if line.how in ("told", "skipped") and state.phase != "running":
        started = instant
    done = Done(
        line.stage,
        started,
        instant,
        line.planned,
        line.how,
        state.celsius_at_start,
        None if state.cleared_at is None else state.cleared_at - started,
        line.exposed,
        line.strips,
        bool(line.unseen),
    )
    window = state.process.wet_window
    begins_to_dry = window is not None and window.from_ == line.stage and line.how != "skipped"
    phase: Phase = "ended"
    if index + 1 < len(state.process.stages):
        index += 1
        phase = "ready" if state.process.stages[index].waits else "running"
    return replace(
        state,
        done=(*state.done, done),
        cleared_at=None,
        held=False,
        racked=False,
        refused=None,
        question=None,
        changes_noted=0,
        lead_part=None,
        lead_planned=None,
        celsius_at_start=None,
        parts=closed(state.parts, instant),
        given=None,
        wet_from=instant if begins_to_dry else state.wet_from,
        automatic_at=instant if line.how == "zero" else state.automatic_at,
        index=index,
        phase=phase,
        since=instant,
    )


def _cleared(state: PlateState, line: ev.Cleared, instant: float) -> PlateState:
    return replace(state, cleared_at=instant, refused=None, question=None)


def _reading(state: PlateState, line: ev.Temperature | ev.Humidity, instant: float) -> PlateState:
    return temperatures.with_readings(state, [(line, instant)])


def _mark(state: PlateState, line: ev.Mark, instant: float) -> PlateState:
    return replace(state, marks=(*state.marks, instant))


def _slept(state: PlateState, line: ev.Clock, instant: float) -> PlateState:
    return away.away(state, instant - line.seconds, instant) if line.kind == "slept" else state


def _exposure_set(state: PlateState, line: ev.ExposureSet, _: float | None) -> PlateState:
    aperture, scene = line.aperture or state.aperture, line.scene or state.scene
    return replace(state, plan=line.plan, aperture=aperture, scene=scene)


def _acknowledged(state: PlateState, line: ev.Acknowledged, _: float | None) -> PlateState:
    if line.count is None:
        return state
    return replace(state, changes_noted=line.count - 1, refused=None, question=None)


def _detail(state: PlateState, line: ev.Detail, _: float | None) -> PlateState:
    return _told_open(state, line.value) if line.key == TOLD_OPEN else state


def _undone(state: PlateState, line: ev.Undone, instant: float | None) -> PlateState:
    if line.held and _is_behind_zero(state, instant):
        if state.phase == "lead_in":  # nobody saw its end: it stands ready again
            return replace(state, phase="ready", refused=None, question=None)
        return replace(state, held=state.phase == "running", refused=None, question=None)
    return _answered(state, line, instant)


def _answered(state: PlateState, line: ev.Undone | ev.Moved, _: float | None) -> PlateState:
    if state.refused is None and state.question is None:
        return state
    return replace(state, refused=None, question=None)


Step = Callable[[PlateState, Any, Any], PlateState]


def _timed(change: Step) -> Step:
    """Return a step that changes nothing where the line has no time."""

    def timed(state: PlateState, line: Any, instant: float | None) -> PlateState:
        return state if instant is None else change(state, line, instant)

    return timed


STEPS: dict[type, Step] = {
    ev.LeadInStarted: _timed(_lead_in),
    ev.StageStarted: _timed(_start),
    ev.Cleared: _timed(_cleared),
    ev.StageEnded: _timed(_end),
    ev.Temperature: _timed(_reading),
    ev.Humidity: _timed(_reading),
    ev.Mark: _timed(_mark),
    ev.Refused: _timed(_refused),
    ev.Resumed: _timed(away.resumed),
    ev.Clock: _timed(_slept),
    ev.ExposureSet: _exposure_set,
    ev.WetTimeSet: lambda state, line, _: replace(state, wet_time=line.seconds),
    ev.Acknowledged: _acknowledged,
    ev.Detail: _detail,
    ev.Undone: _undone,
    ev.Moved: _answered,
    ev.Racked: lambda state, line, _: replace(state, racked=True),
    ev.PlateEnded: lambda state, line, _: replace(state, phase="ended", racked=False, ended=line),
}
"""What each kind of line does; what is not here changes nothing."""
GATHERED = frozenset({ev.Mark, ev.Temperature, ev.Humidity})
"""What a fold gathers: no step asks for the marks, and only some for a temperature."""
ASKS_TEMPERATURE = frozenset({ev.Undone, ev.Resumed, ev.Clock})
"""The steps that ask when an automatic zero is, which a temperature may move; an undo when it is `held`."""
