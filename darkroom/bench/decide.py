"""What an intent does to one plate: new lines, or a refusal with its reason. Pure.

The table of section "what a plate does" of the design is `go`; everything else is a way to
correct what was recorded.
"""

from __future__ import annotations

from typing import Any

from darkroom.bench import clocks, endings, exposure, refusals, temperatures
from darkroom.bench import events as ev
from darkroom.bench.fold import apply
from darkroom.bench.intents import Cause
from darkroom.bench.state import PlateState
from darkroom.process import rinses
from darkroom.process.model import ExposurePlan, Stage
from darkroom.process.text.durations import show_left

AGAIN = 5.0
"""A refused short fixing may be struck again within so many seconds."""
SETTLED = 1.0
"""A strike so soon after an automatic change was meant for what was before."""


class Lines:
    """Collects the new lines of one cause, numbered on from a plate's last one."""

    def __init__(self, state: PlateState, cause: Cause, last_n: int | None = None) -> None:
        self.n = state.last_n if last_n is None else last_n
        self.cause = cause
        self.lines: list[ev.AnyEvent] = []

    def add(self, kind: type[Any], /, **members: Any) -> None:
        """Add one event of this kind; seconds and °C are kept to the microsecond."""
        self.n += 1
        kept = {key: round(value, 6) if isinstance(value, float) else value for key, value in members.items()}
        self.lines.append(kind(n=self.n, at=self.cause.at, up=self.cause.up, **kept))


Outcome = tuple[tuple[ev.AnyEvent, ...], str | None]
"""The new lines, and the reason of a refusal (then the lines hold a `refused`)."""


def refuse(state: PlateState, cause: Cause, intent: str, reason: str) -> Outcome:
    """Refuse an intent; the refusal itself is a line of the journal."""
    lines = Lines(state, cause)
    lines.add(ev.Refused, intent=intent, reason=reason)
    return tuple(lines.lines), reason


def go(state: PlateState, cause: Cause) -> Outcome:
    """A strike on the go zone, for the plate that is large."""
    now = cause.up
    stage = state.stage
    if state.phase == "ended":
        return (), refusals.FINISHED
    if state.racked:
        return (), refusals.RACKED
    if state.automatic_at is not None and 0 <= now - state.automatic_at < SETTLED * state.pace:
        return refuse(state, cause, "go", refusals.AUTOMATIC)
    if state.phase == "ready":
        return _begin(state, cause)
    if state.phase == "lead_in":
        lines = Lines(state, cause)
        start_stage(lines, state, now)
        return tuple(lines.lines), None
    if (short_by := _short_of_least(state, now)) > 0:
        return refuse(state, cause, "go", more_text(state, short_by))
    if endings.of(stage).clears:
        return _clearing(state, cause)
    if exposure.between_parts(state, now) and not state.held:
        lines = Lines(state, cause)
        part = len(state.parts) + 1
        lines.add(
            ev.StageStarted,
            stage=stage.name,
            planned=exposure.part_planned(state, part),
            celsius=temperatures.celsius(state)[0],
            part=part,
        )
        return tuple(lines.lines), None
    lines = Lines(state, cause)
    end_stage(lines, state, now, "strike")
    return tuple(lines.lines), None


def more_text(state: PlateState, seconds: float) -> str:
    """Return that the plate's stage lacks so many seconds: "fix: 0:30 more"."""
    return f"{state.stage.shown}: {show_left(seconds)} more"


def _short_of_least(state: PlateState, now: float) -> float:
    """Return the seconds that a running stage is short of its `at_least`; a held stage is never short."""
    least = 0.0 if state.held else state.stage.at_least or 0.0
    return max(0.0, least - (now - state.since))


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
    if away and not state.parts:
        seconds = exposure.plan_takes(state.plan)
        members = {"exposed": exposure.plan_seconds(state.plan), "strips": exposure.strips(state.plan)}
        lines.add(
            ev.StageEnded, stage=stage.name, seconds=seconds or 0.0, planned=seconds, how="told", **members
        )
        _follow(lines, state, state.index, cause.up)
    elif stage.lead_in:
        lines.add(ev.LeadInStarted, stage=stage.name, seconds=stage.lead_in)
    else:
        start_stage(lines, state, cause.up)
    return tuple(lines.lines), None


def _clearing(state: PlateState, cause: Cause) -> Outcome:
    now, stage = cause.up, state.stage
    lines = Lines(state, cause)
    if state.cleared_at is None:
        lines.add(ev.Cleared, stage=stage.name, seconds=now - state.since)
        return tuple(lines.lines), None
    end = clocks.zero(state)
    if end is not None and now < end and not state.held:
        refused = state.refused
        again = refused is not None and refused[0] == "go" and now - refused[2] < AGAIN * state.pace
        if not again:
            return refuse(state, cause, "go", more_text(state, end - now))
        end_stage(lines, state, now, "short")
        return tuple(lines.lines), None
    end_stage(lines, state, now, "strike")
    return tuple(lines.lines), None


def start_stage(lines: Lines, state: PlateState, now: float, index: int | None = None) -> None:
    """Add the start of a stage at `now`: what is planned for it, at which temperature."""
    at = state.index if index is None else index
    stage = state.process.stages[at]
    reopened = state.parts and endings.of(stage).opens_lens and at == state.index
    members: dict[str, Any] = {}
    if reopened:
        planned = _pending_part(state)
        members["part"] = len(state.parts) + 1
    elif endings.of(stage).opens_lens:
        planned = exposure.part_planned(state, 1)
    else:
        planned = clocks.law_seconds(state, at)
    dry = clocks.dry_instant(state)
    if dry is not None:
        members["wet_left"] = round(dry - now, 3)
    lines.add(
        ev.StageStarted,
        stage=stage.name,
        planned=planned,
        celsius=temperatures.celsius(state, stage)[0],
        **members,
    )


def _pending_part(state: PlateState) -> float | None:
    """What a further opening, whose lead-in runs, is to last."""
    for line in reversed(state.lines):
        if isinstance(line, ev.LeadInStarted):
            return line.planned
    return None


def end_stage(lines: Lines, state: PlateState, now: float, how: ev.How) -> None:
    """Add the end of the running stage at `now`, and the start of the next if it starts at once."""
    stage = state.stage
    members: dict[str, Any] = {}
    if endings.of(stage).opens_lens:
        members = _exposure_members(state, now)
    lines.add(
        ev.StageEnded,
        stage=stage.name,
        seconds=now - state.since,
        planned=clocks.planned(state),
        how=how,
        **members,
    )
    _follow(lines, state, state.index, now)


def _exposure_members(state: PlateState, now: float) -> dict[str, Any]:
    opened = exposure.exposed(state, now)
    members: dict[str, Any] = {}
    if abs(opened - (now - state.since)) > 0.001:
        members["exposed"] = opened
    full = exposure.plan_seconds(state.plan)
    if state.plan and state.plan.steps and full is not None and opened >= full - 0.001:
        members["strips"] = exposure.strips(state.plan)
    return members


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
    protects = rinses.protects(state.process.stages, state.index)
    if protects is not None:
        return refuse(state, cause, "skip", f"{state.stage.shown} {protects}: it is never left out")
    lines = Lines(state, cause)
    if state.phase == "running":
        members = _exposure_members(state, cause.up) if endings.of(state.stage).opens_lens else {}
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


def add_exposure(state: PlateState, cause: Cause, seconds: float | None) -> Outcome:
    """Open the lens a further time after an exposure that has ended, before the developer."""
    index = endings.exposure_place(state.process)
    if index is None:
        return (), refusals.NO_EXPOSURE
    if state.phase == "ended":
        return (), refusals.FINISHED
    exposure: Stage = state.process.stages[index]
    done = any(done.stage == exposure.name for done in state.done)
    window = state.process.wet_window
    last = state.process.index(window.to) if window else index + 1
    if not done or state.index > last or (state.index == last and state.phase != "ready"):
        return refuse(state, cause, "add_exposure", refusals.ADD_BEFORE_DEVELOPER)
    part = max(2, len(state.parts) + 1)
    lines = Lines(state, cause)
    lines.add(
        ev.LeadInStarted, stage=exposure.name, seconds=exposure.lead_in or 0.1, part=part, planned=seconds
    )
    return tuple(lines.lines), None


def set_plan(state: PlateState, cause: Cause, plan: ExposurePlan | None, aperture: str | None) -> Outcome:
    """Change the exposure plan or the aperture, until the lens is open."""
    index = endings.exposure_place(state.process)
    if index is None:
        return (), refusals.NO_EXPOSURE
    if state.phase == "ended":
        return (), refusals.FINISHED
    if state.index > index or (state.index == index and state.phase == "running"):
        return (), refusals.EXPOSURE_MADE
    return change(state, cause, ev.ExposureSet, plan=plan, aperture=aperture), None


def abandon(state: PlateState, cause: Cause, reason: str) -> Outcome:
    """Give the plate up."""
    if state.phase == "ended":
        return (), refusals.FINISHED
    return change(state, cause, ev.PlateEnded, how="abandoned", reason=reason), None


def change(state: PlateState, cause: Cause, kind: type[Any], /, **members: Any) -> tuple[ev.AnyEvent, ...]:
    """Return one event that changes what is known or planned."""
    lines = Lines(state, cause)
    lines.add(kind, **members)
    return tuple(lines.lines)
