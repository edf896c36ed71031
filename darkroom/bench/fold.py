"""One plate: its state as the fold of its journal's lines. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import msgspec
from msgspec.structs import replace

from darkroom.bench import away, bottles, clocks, endings, temperatures
from darkroom.bench import events as ev
from darkroom.bench.standing import Line, instants, standing
from darkroom.bench.state import Done, Part, Phase, PlateState, Question, Trace
from darkroom.errors import QuantityError
from darkroom.process.file import profile
from darkroom.process.model import Process
from darkroom.process.text.durations import duration

TOLD_OPEN = "exposed"
"""The key of the detail that tells how long the lens was open; its value is a duration as it is typed."""
SAME_INSTANT = 1e-5
"""Two causes closer than this, in seconds, are of one instant."""


def fold(lines: Iterable[Line]) -> PlateState:
    """Return the state that `lines` lead to, in any order.

    Raises ValueError when no standing `plate_started` comes first, or its process is none.
    """
    kept = tuple(sorted(lines, key=lambda line: line.n))
    stands = standing(kept)
    if not stands or not isinstance(stands[0], ev.PlateStarted):
        raise ValueError("the journal does not begin with plate_started")
    when = instants(stands)
    state = begin(stands[0], when.get(stands[0].n, 0.0))
    marks: list[float] = []
    readings: list[temperatures.Reading] = []
    for line in stands[1:]:
        instant = when.get(line.n)
        if instant is not None and isinstance(line, ev.Mark):  # no step asks for the marks
            marks.append(instant)
        elif instant is not None and isinstance(line, (ev.Temperature, ev.Humidity)):
            readings.append((line, instant))
        else:
            state = _step(temperatures.with_readings(state, readings), line, instant)
            readings.clear()
    return replace(temperatures.with_readings(state, readings), lines=kept, marks=tuple(marks))


def apply(state: PlateState, line: Line) -> PlateState:
    """Return the state after one more line."""
    lines = (*state.lines, line)
    if isinstance(line, (ev.Undone, ev.Moved)) or (isinstance(line, ev.Resumed) and line.by == "wall"):
        return fold(lines)
    return replace(_step(state, line, line.up), lines=lines)


def begin(start: ev.PlateStarted, instant: float) -> PlateState:
    """Return the state of a plate that is ready for its first stage."""
    process = _process(start)
    traces: dict[str, Trace] = {
        source: ((instant, celsius, "assumed"),) for source, celsius in process.temperatures.items()
    }
    for source, (celsius, origin) in start.temperatures.items():
        traces[source] = ((instant, celsius, origin),)
    percent, origin = start.humidity or (process.humidity, "assumed")
    first = 0 if start.prepare else next((i for i, s in enumerate(process.stages) if not s.optional), 0)
    return PlateState(
        lines=(start,),
        start=start,
        process=process,
        index=first,
        since=instant,
        temperatures=traces,
        humidity=((instant, percent, origin),),
        plan=start.plan,
        aperture=start.aperture,
        scene=start.scene,
        wet_time=start.wet_time,
    )


def _process(start: ev.PlateStarted) -> Process:
    """Return the checked process of a plate: most plates of a log go through one of a few."""
    try:
        return _checked(msgspec.json.encode(start.process))
    except (TypeError, ValueError):
        return profile.from_plain(start.process)


@lru_cache(maxsize=16)
def _checked(plain: bytes) -> Process:
    return profile.from_plain(msgspec.json.decode(plain))


def _step(state: PlateState, line: Line, instant: float | None) -> PlateState:
    match line:
        case ev.LeadInStarted() if instant is not None:
            return _lead_in(state, line, instant)
        case ev.StageStarted() if instant is not None:
            return _start(state, line, instant)
        case ev.Cleared() if instant is not None:
            return replace(state, cleared_at=instant, refused=None, question=None)
        case ev.StageEnded() if instant is not None:
            return _end(state, line, instant)
        case ev.Temperature() | ev.Humidity() if instant is not None:
            return temperatures.with_readings(state, [(line, instant)])
        case ev.ExposureSet():
            aperture, scene = line.aperture or state.aperture, line.scene or state.scene
            return replace(state, plan=line.plan, aperture=aperture, scene=scene)
        case ev.WetTimeSet():
            return replace(state, wet_time=line.seconds)
        case ev.Mark() if instant is not None:
            return replace(state, marks=(*state.marks, instant))
        case ev.Refused() if instant is not None:
            return _refused(state, line, instant)
        case ev.Acknowledged() if line.count is not None:
            return replace(state, changes_noted=line.count - 1, refused=None, question=None)
        case ev.Detail() if line.key == TOLD_OPEN:
            return _told_open(state, line.value)
        case ev.Resumed() if instant is not None:
            return away.resumed(state, line, instant)
        case ev.Clock(kind="slept") if instant is not None:
            return away.away(state, instant - line.seconds, instant)
        case ev.Undone() if line.held and _is_behind_zero(state, instant):
            if state.phase == "lead_in":  # nobody saw its end: it stands ready again
                return replace(state, phase="ready", refused=None, question=None)
            return replace(state, held=state.phase == "running", refused=None, question=None)
        case ev.Undone() | ev.Moved():
            return replace(state, refused=None, question=None)
        case ev.Racked():
            return replace(state, racked=True)
        case ev.PlateEnded():
            return replace(state, phase="ended", racked=False, ended=line)
        case _:
            return state


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
            parts = (*_closed(state.parts, instant), Part(instant, line.planned))
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


def _closed(parts: tuple[Part, ...], instant: float) -> tuple[Part, ...]:
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
        parts=_closed(state.parts, instant),
        given=None,
        wet_from=instant if begins_to_dry else state.wet_from,
        automatic_at=instant if line.how == "zero" else state.automatic_at,
        index=index,
        phase=phase,
        since=instant,
    )
