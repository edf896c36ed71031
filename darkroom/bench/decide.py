"""What an intent does to one plate: new lines, or a refusal with its reason. Pure.

The table of section "what a plate does" of the design is `go`; everything else is a way to
correct what was recorded.
"""

from __future__ import annotations

from itertools import dropwhile, takewhile
from typing import Any

from msgspec.structs import replace

from darkroom.bench import clocks, endings, exposure, questions, refusals, repeats, temperatures
from darkroom.bench import events as ev
from darkroom.bench.fold import apply, fold
from darkroom.bench.intents import Cause
from darkroom.bench.lines import Lines, Outcome, ask, change, refuse
from darkroom.bench.state import PlateState
from darkroom.process import rinses
from darkroom.process.text.durations import show_left

SETTLED = 1.0
"""A strike so soon after an automatic change was meant for what was before."""


def go(state: PlateState, cause: Cause) -> Outcome:
    """A strike on the go zone, for the plate that is large.

    Asked of it in this order: is it held, did it go on by itself within the last second, its least time, a
    question, the end.
    """
    if (outcome := before_questions(state, cause)) is not None:
        return outcome
    now = cause.up
    if state.phase == "ready":
        return _begin(state, cause)
    if state.phase == "lead_in":
        lines = Lines(state, cause)
        start_stage(lines, state, now)
        return tuple(lines.lines), None
    return _running(state, cause)


def before_questions(state: PlateState, cause: Cause) -> Outcome | None:
    """Return what a strike does that is asked about in no case, or None where a question may come first."""
    now = cause.up
    if state.phase == "ended":
        return (), refusals.FINISHED
    if state.racked:
        return (), refusals.RACKED
    if state.phase == "running" and state.held:
        return ended(state, cause, "strike")
    if state.automatic_at is not None and 0 <= now - state.automatic_at < SETTLED * state.pace:
        return refuse(state, cause, "go", refusals.AUTOMATIC)
    noting = repeats.change_to_note(state, now) is not None
    clearing = endings.of(state.stage).clears and state.cleared_at is None
    if (
        state.phase == "running"
        and not noting
        and not clearing
        and (short := _short_of_least(state, now)) > 0
    ):
        return refuse(state, cause, "go", more_text(state, short))
    return None


def _running(state: PlateState, cause: Cause) -> Outcome:
    """A strike while a stage runs that is not held."""
    now, stage = cause.up, state.stage
    if (just_asked := questions.just_asked(state, now)) is not None:
        return (), just_asked
    if exposure.between_parts(state, now):
        return _next_part(state, cause)
    if (count := repeats.change_to_note(state, now)) is not None:
        return _note_change(state, cause, count)
    if endings.of(stage).clears and state.cleared_at is None:
        return _cleared(state, cause)
    left = questions.short_by(state, now)
    if left is None:
        return ended(state, cause, "strike")
    if questions.is_answered(state, "short", now):
        return ended(state, cause, "short")
    return ask(state, cause, "short", questions.short_text(state, left))


def _next_part(state: PlateState, cause: Cause) -> Outcome:
    lines = Lines(state, cause)
    part = len(state.parts) + 1
    lines.add(
        ev.StageStarted,
        stage=state.stage.name,
        planned=exposure.part_planned(state, part),
        celsius=temperatures.celsius(state)[0],
        part=part,
    )
    return tuple(lines.lines), None


def _note_change(state: PlateState, cause: Cause, count: int) -> Outcome:
    repeat = repeats.repeat_of(state.stage)
    what = repeats.CHANGE if repeat is None else repeat.verb
    return change(state, cause, ev.Acknowledged, what=what, stage=state.stage.name, count=count), None


def _cleared(state: PlateState, cause: Cause) -> Outcome:
    """ "It has cleared": asked first when that comes suspiciously early."""
    now = cause.up
    if questions.clears_early(state, now) and not questions.is_answered(state, "cleared", now):
        return ask(state, cause, "cleared", questions.cleared_text(state))
    return change(state, cause, ev.Cleared, stage=state.stage.name, seconds=now - state.since), None


def ended(state: PlateState, cause: Cause, how: ev.How) -> Outcome:
    """Return the lines that end the running stage at the cause's instant."""
    lines = Lines(state, cause)
    end_stage(lines, state, cause.up, how)
    return tuple(lines.lines), None


def more_text(state: PlateState, seconds: float) -> str:
    """Return that the plate's stage lacks so many seconds: "fix: 0:30 more"."""
    return f"{state.stage.shown}: {show_left(seconds)} more"


def _short_of_least(state: PlateState, now: float) -> float:
    """Return the seconds that a running stage is short of its `at_least`."""
    return max(0.0, (state.stage.at_least or 0.0) - (now - state.since))


def at_zero(state: PlateState, cause: Cause) -> tuple[ev.AnyEvent, ...]:
    """Return the lines of an automatic zero at `cause.up`; none when the plate has none there."""
    if clocks.automatic_zero(state) is None:
        return ()
    lines = Lines(state, cause)
    if state.phase == "lead_in":
        start_stage(lines, state, cause.up)
    else:
        end_stage(lines, state, cause.up, "zero")
    return tuple(lines.lines)


def _begin(state: PlateState, cause: Cause) -> Outcome:
    stage = state.stage
    lines = Lines(state, cause)
    away = endings.of(stage).opens_lens and state.start.timed == "away"
    if state.lead_part is not None:
        lines.add(
            ev.LeadInStarted,
            stage=stage.name,
            seconds=stage.lead_in or exposure.NO_LEAD_IN,
            part=state.lead_part,
            planned=state.lead_planned,
        )
    elif away and not state.parts:
        seconds = exposure.plan_takes(state.plan)
        members: dict[str, Any] = {"unseen": True}
        if seconds is not None:
            members = {
                "exposed": exposure.plan_seconds(state.plan),
                "strips": exposure.strips(state.plan),
            }
        lines.add(
            ev.StageEnded, stage=stage.name, seconds=seconds or 0.0, planned=seconds, how="told", **members
        )
        _follow(lines, state, state.index, cause.up)
    elif stage.lead_in:
        lines.add(ev.LeadInStarted, stage=stage.name, seconds=stage.lead_in)
    else:
        start_stage(lines, state, cause.up)
    return tuple(lines.lines), None


def start_stage(lines: Lines, state: PlateState, now: float, index: int | None = None) -> None:
    """Add the start of a stage at `now`: what is planned for it, at which temperature."""
    at = state.index if index is None else index
    stage = state.process.stages[at]
    reopened = (state.parts or state.lead_part) and endings.of(stage).opens_lens and at == state.index
    members: dict[str, Any] = {}
    if reopened:
        planned = state.lead_planned
        members["part"] = state.lead_part or len(state.parts) + 1
    elif endings.of(stage).opens_lens:
        planned = exposure.part_planned(state, 1)
    else:
        planned = clocks.law_seconds(state, at)
    dry = clocks.wet_clock_ends(state)
    if dry is not None:
        members["wet_left"] = round(dry - now, 3)
    lines.add(
        ev.StageStarted,
        stage=stage.name,
        planned=planned,
        celsius=temperatures.celsius(state, stage)[0],
        **members,
    )


def end_stage(lines: Lines, state: PlateState, now: float, how: ev.How) -> None:
    """Add the end of the running stage at `now`, and the start of the next if it starts at once."""
    stage = state.stage
    members: dict[str, Any] = {}
    if endings.of(stage).opens_lens:
        members = exposure.members_at_end(state, now)
    lines.add(
        ev.StageEnded,
        stage=stage.name,
        seconds=now - state.since,
        planned=clocks.planned(state),
        how=how,
        **members,
    )
    _follow(lines, state, state.index, now)


def _follow(lines: Lines, state: PlateState, index: int, now: float) -> None:
    """Add what comes at the same instant as the end of the stage at `index`."""
    stages = state.process.stages
    if index + 1 >= len(stages):
        lines.add(ev.PlateEnded, how="done")
        return
    following = stages[index + 1]
    if following.waits:
        return
    after = state
    for line in lines.lines:
        after = apply(after, line)
    start_stage(lines, after, now, index + 1)
    if following.rack:
        lines.add(ev.Racked)


def skip(state: PlateState, cause: Cause) -> Outcome:
    """Leave the stage out, or leave it now; refused for a stage that must be kept."""
    if state.phase == "ended":
        return (), refusals.FINISHED
    if state.racked:
        return (), refusals.RACKED
    protects = rinses.protects(state.process.stages, state.index)
    if protects is not None:
        return refuse(state, cause, "skip", f"{state.stage.shown} {protects}: it is never left out")
    if state.given is not None and state.phase != "running":
        return refuse(state, cause, "skip", "exposure done: it is never left out")
    lines = Lines(state, cause)
    if state.phase == "running":
        members = exposure.members_at_end(state, cause.up) if endings.of(state.stage).opens_lens else {}
        lines.add(
            ev.StageEnded,
            stage=state.stage.name,
            seconds=cause.up - state.since,
            planned=clocks.planned(state),
            how="skipped",
            **members,
        )
    else:
        lines.add(ev.StageEnded, stage=state.stage.name, seconds=0.0, planned=None, how="skipped")
    _follow(lines, state, state.index, cause.up)
    return tuple(lines.lines), None


def lost_lines(state: PlateState) -> tuple[ev.AnyEvent, ...]:
    """Return what a journal whose last cause ends a stage lost of it: what came at that instant."""
    at, up = state.lines[-1].at, state.lines[-1].up
    cause = list(takewhile(lambda line: (line.at, line.up) == (at, up), reversed(state.lines)))[::-1]
    kept = list(dropwhile(lambda line: not isinstance(line, ev.StageEnded), cause))
    if not kept or up is None or not isinstance(kept[0], ev.StageEnded):
        return ()
    before = fold(state.lines[: -len(kept)])
    lines = Lines(state, Cause(at=at, up=up))
    lines.lines = [kept[0]]
    _follow(lines, before, before.index, up)
    expected, lost = lines.lines[: len(kept)], lines.lines[len(kept) :]
    if list(map(type, expected)) != list(map(type, kept)):
        return ()
    return tuple(replace(line, n=state.last_n + more) for more, line in enumerate(lost, 1))


def abandon(state: PlateState, cause: Cause, reason: str) -> Outcome:
    """Give the plate up."""
    if state.phase == "ended":
        return (), refusals.FINISHED
    return change(state, cause, ev.PlateEnded, how="abandoned", reason=reason), None
