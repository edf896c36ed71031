"""Taking back, moving and putting back what was recorded on one plate. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import islice

from darkroom.bench import clocks, endings, questions, refusals
from darkroom.bench import events as ev
from darkroom.bench.fold import apply
from darkroom.bench.intents import Cause
from darkroom.bench.lines import Lines, Outcome, refuse
from darkroom.bench.standing import Line, instants, standing
from darkroom.bench.state import STEPS, PlateState
from darkroom.event_base import Newer
from darkroom.process import rinses

OLD = 60.0
"""A step older than this takes two strikes to take back, in seconds."""
TWICE = 3.0
"""The second of two strikes comes within so many seconds."""
STEP = 5.0
"""How far `earlier` moves a step, in seconds."""
KEPT = (
    ev.PlateStarted,
    ev.Acknowledged,
    ev.Temperature,
    ev.Humidity,
    ev.Refused,
    ev.Mark,
    ev.Note,
    ev.Clock,
    ev.Resumed,
    ev.Undone,
    ev.Moved,
    Newer,
)
"""What stays when the cause it came with is taken back."""


def causes(state: PlateState) -> list[list[Line]]:
    """Return the standing lines in groups of one cause, ascending."""
    return [*_causes_backwards(standing(state.lines))][::-1]


def _causes_backwards(stands: Sequence[Line]) -> Iterator[list[Line]]:
    """Yield standing lines in groups of one cause, the last group first; lines ascend within one."""
    end = len(stands)
    while end:
        begin = end - 1
        while begin and _of_one_cause(stands[begin - 1], stands[begin]):
            begin -= 1
        yield [*stands[begin:end]]
        end = begin


def _of_one_cause(line: Line, following: Line) -> bool:
    return line.n + 1 == following.n and (line.at, line.up) == (following.at, following.up)


def last_step(stands: Sequence[Line]) -> list[Line]:
    """Return the lines of the last cause that wrote a step, its lead-in with it; empty without one.

    `stands` are the plate's standing lines, ascending.
    """
    before = len(stands)
    for group in _causes_backwards(stands):
        before -= len(group)
        if not any(isinstance(line, STEPS) for line in group):
            continue
        step: list[Line] = [line for line in group if not isinstance(line, KEPT)]
        if isinstance(step[0], ev.StageStarted):
            earlier = next((line for line in reversed(stands[:before]) if isinstance(line, STEPS)), None)
            if isinstance(earlier, ev.LeadInStarted):
                return [earlier, *step]
        return step
    return []


def instant_of(stands: Sequence[Line], step: Sequence[Line]) -> float | None:
    """Return what `instants` of the standing lines says of the last line of a step, None for nothing.

    Lines before the step do not tell it, those aside that move others.
    """
    begun = step[0].n
    telling = [line for line in stands if line.n >= begun or type(line) is ev.Moved]
    return instants(telling).get(step[-1].n)


def named(lines: list[Line]) -> str:
    """Return in words what a step was, for the answer to an undo: "fix cleared"."""
    for line in lines:
        if isinstance(line, ev.StageEnded):
            return f"end of {line.stage}"
        if isinstance(line, ev.Cleared):
            return f"{line.stage} cleared"
        if isinstance(line, ev.LeadInStarted | ev.StageStarted):
            return f"start of {line.stage}"
        if isinstance(line, ev.PlateEnded):
            return "end of the plate"
    return "nothing"


def undo(state: PlateState, cause: Cause, developing: bool) -> Outcome:
    """Take the last step back; asked twice while a plate develops or when the step is old.

    While the plate asks something an undo answers no, and takes nothing back.
    """
    if questions.asked_lately(state, cause.up) is not None:
        lines = Lines(state, cause)
        lines.add(ev.Refused, intent="go", reason=refusals.ANSWERED_NO, stage=state.stage.name)
        return tuple(lines.lines), None
    stands = standing(state.lines)
    step = last_step(stands)
    if not step:
        return (), refusals.NOTHING_TO_UNDO
    now = cause.up
    when = instant_of(stands, step)
    age = 0.0 if when is None else now - when
    sure = (
        state.refused is not None
        and state.refused[0] == "undo"
        and now - state.refused[2] < TWICE * state.pace
    )
    if (developing or age > OLD * state.pace) and not sure:
        return refuse(state, cause, "undo", f"again to take back {named(step)}")
    undone = {line.n for line in step}
    moves = {line.n for line in stands if type(line) is ev.Moved and undone & set(line.moves)}
    return _undone(state, cause, tuple(sorted(undone | moves))), None


def _undone(state: PlateState, cause: Cause, undoes: tuple[int, ...]) -> tuple[ev.AnyEvent, ...]:
    """Return the line that takes `undoes` back; held when an automatic zero then lies behind it."""
    lines = Lines(state, cause)
    lines.add(ev.Undone, undoes=undoes, held=False)
    after = apply(state, lines.lines[0])
    zero = clocks.automatic_zero(after)
    if zero is not None and zero <= cause.up:
        lines = Lines(state, cause)
        lines.add(ev.Undone, undoes=undoes, held=True)
    return tuple(lines.lines)


def put_back(state: PlateState, cause: Cause) -> Outcome:
    """Take the last undo back, when nothing has been done since."""
    by_n = {line.n: line for line in state.lines}
    for line in reversed(standing(state.lines)):
        if isinstance(line, STEPS):
            break
        if isinstance(line, ev.Undone):
            if any(isinstance(by_n.get(n), ev.Undone) for n in line.undoes):
                break
            return _undone(state, cause, (line.n,)), None
    return refuse(state, cause, "put_back", refusals.NOTHING_TO_PUT_BACK)


def _earliest_end(state: PlateState, moved: Sequence[Line]) -> float:
    """Return the earliest instant to which the end of a rinse that protects may be moved; −inf for others."""
    for line in moved:
        if isinstance(line, ev.StageEnded):
            place = state.process.index(line.stage)
            done = next(done for done in reversed(state.done) if done.stage == line.stage)
            return done.started + endings.protected_least_at(state.process, place)
    return -math.inf


def _kept_start(state: PlateState, moved: Sequence[Line]) -> str | None:
    """Return why a step that begins water before or after cyanide is not moved, or None for other steps.

    Moved earlier, it would count time in the water that nobody saw.
    """
    for line in moved:
        if isinstance(line, ev.StageStarted):
            protects = rinses.protects(state.process.stages, state.process.index(line.stage))
            if protects is not None:
                return f"{state.process.stage(line.stage).shown} {protects}: its start stays"
    return None


def earlier(state: PlateState, cause: Cause) -> Outcome:
    """Move the last step five seconds back, never before the step before it."""
    stands = standing(state.lines)
    with_step = (
        group for group in _causes_backwards(stands) if any(isinstance(line, STEPS) for line in group)
    )
    groups = [*islice(with_step, 2)]  # the last first
    if not groups:
        return (), refusals.NOTHING_TO_MOVE
    when = instants(stands)
    moved = [line for line in groups[0] if isinstance(line, (*STEPS, ev.Racked))]
    if (kept := _kept_start(state, moved)) is not None:
        return refuse(state, cause, "earlier", kept)
    at = when[moved[0].n]
    floor = when[groups[1][-1].n] if len(groups) > 1 else at - STEP
    floor = max(floor, _earliest_end(state, moved))
    by = min(STEP, at - floor)
    if by <= 0.0005:
        return refuse(state, cause, "earlier", refusals.AS_EARLY_AS_CAN_BE)
    lines = Lines(state, cause)
    lines.add(ev.Moved, moves=tuple(line.n for line in moved), seconds=-round(by, 3))
    return tuple(lines.lines), None
