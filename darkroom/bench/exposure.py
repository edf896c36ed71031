"""The exposure of a plate: what its plan takes, its steps and strips, how long the lens was open. Pure."""

from __future__ import annotations

import math
from typing import Any

from msgspec.structs import replace

from darkroom.bench.state import Done, Part, PlateState
from darkroom.process.model import ExposurePlan
from darkroom.process.text.durations import show_short

NO_LEAD_IN = 0.1
"""The lead-in of a further opening of the lens where the exposure has none, in seconds."""
POP = 1.0
"""How long after the last flash an exposure by flashes ends, in seconds."""

NICE = (1.0, 1.2, 1.6, 2.0, 2.5, 3.2, 4.0, 5.0, 6.3, 8.0, 10.0)
"""Thirds of a stop, as they stand on dials."""


def plan_seconds(plan: ExposurePlan | None) -> float | None:
    """Return how long the lens is open under the plan, or None without one."""
    if plan is None:
        return None
    if plan.steps:
        return sum(plan.steps)
    if plan.pops:
        return (plan.pops - 1) * (plan.recycle or 0.0) + POP
    return plan.seconds


def plan_text(plan: ExposurePlan | None) -> str | None:
    """Return the plan as text, or None without one: "8 s", "2 + 2 + 4 s, a press between"."""
    if plan is None:
        return None
    if plan.steps:
        steps = " + ".join(f"{step:g}" for step in plan.steps)
        if plan.between == "strike":
            return f"{steps} s, a press between"
        pause = f", {plan.between:g} s between" if isinstance(plan.between, float | int) else ""
        return f"{steps} s{pause}"
    if plan.pops:
        return f"{plan.pops} flashes, {plan.recycle or 0:g} s apart"
    return None if plan.seconds is None else show_short(plan.seconds)


def plan_takes(plan: ExposurePlan | None) -> float | None:
    """Return how long the exposure takes with the pauses between its steps, or None."""
    total = plan_seconds(plan)
    if total is None or plan is None or not plan.steps or not isinstance(plan.between, float | int):
        return total
    return total + plan.between * (len(plan.steps) - 1)


def strips(plan: ExposurePlan | None) -> tuple[float, ...] | None:
    """Return the total each strip of a stepped exposure gets, first strip first."""
    if plan is None or not plan.steps:
        return None
    totals: list[float] = []
    for step in plan.steps:
        totals.append(step + (totals[-1] if totals else 0.0))
    return tuple(totals)


def step_instants(plan: ExposurePlan | None, start: float) -> tuple[float, ...]:
    """Return when each step or flash after the first begins, for a plan that runs by itself."""
    if plan is None:
        return ()
    if plan.steps and plan.between != "strike":
        pause = plan.between if isinstance(plan.between, float | int) else 0.0
        instants, at = [], start
        for step in plan.steps[:-1]:
            at += step
            if pause:
                instants.append(at)
            at += pause
            instants.append(at)
        return tuple(instants)
    if plan.pops:
        return tuple(start + k * (plan.recycle or 0.0) for k in range(plan.pops))
    return ()


def part_planned(state: PlateState, part: int) -> float | None:
    """Return what the `part`th opening (from 1) of the plan is to last."""
    plan = state.plan
    if plan is not None and plan.steps and plan.between == "strike":
        return plan.steps[part - 1] if part <= len(plan.steps) else None
    return plan_takes(plan) if part == 1 else None


def between_parts(state: PlateState, now: float) -> bool:
    """True when the lens is capped between two steps and waits for a strike."""
    if state.phase != "running" or not state.parts:
        return False
    last = state.parts[-1]
    return more_parts(state) and last.planned is not None and now >= last.started + last.planned


def more_parts(state: PlateState) -> bool:
    """True when the plan has a further step that a strike begins."""
    plan = state.plan
    return bool(plan and plan.steps and plan.between == "strike" and len(state.parts) < len(plan.steps))


def exposure_planned(state: PlateState) -> float | None:
    """Return how long the lens is to be open in all parts together, or None."""
    if state.given is not None:
        added = [state.given.planned, *(part.planned for part in _parts_since(state, state.given.ended))]
        return None if None in added else sum(seconds for seconds in added if seconds is not None)
    if len(state.parts) <= 1 or (state.plan and state.plan.between == "strike" and state.plan.steps):
        total = plan_seconds(state.plan)
        if not state.parts or state.parts[-1].planned is not None:
            return total
        return None
    lasts = [part.planned for part in state.parts]
    return None if None in lasts else sum(last for last in lasts if last is not None)


def exposed(state: PlateState, now: float) -> float:
    """Return how long the openings that the keys saw have lasted until `now`."""
    total = sum((_open(part, now) for part in state.parts), 0.0)
    plan = state.plan
    if plan and plan.steps and isinstance(plan.between, float | int) and state.parts:
        total -= _paused(plan, min(total, now - state.parts[0].started))
    return total


def _open(part: Part, now: float) -> float:
    """Return how long one opening has lasted until `now`."""
    end = part.ended if part.ended is not None else now
    if part.planned is not None:
        end = min(end, part.started + part.planned)
    return max(0.0, end - part.started)


def _with_addition(state: PlateState, given: Done, now: float) -> float:
    """Return how long the lens was open before it was opened again, and since then until `now`."""
    before = given.seconds if given.exposed is None else given.exposed
    return before + sum(_open(part, now) for part in _parts_since(state, given.ended))


def _parts_since(state: PlateState, instant: float) -> list[Part]:
    return [part for part in state.parts if part.started >= instant]


def _paused(plan: ExposurePlan, elapsed: float) -> float:
    pause = float(plan.between) if isinstance(plan.between, float | int) else 0.0
    paused, at = 0.0, 0.0
    for step in (plan.steps or ())[:-1]:
        at += step
        paused += min(max(0.0, elapsed - at), pause)
        at += pause
    return paused


def members_at_end(state: PlateState, now: float) -> dict[str, Any]:
    """Return what `stage_ended` tells of the lens at `now`.

    Of a held exposure, of one with a step whose end nobody saw, and of one added to an exposure whose length
    nobody knows, only that it is `unseen`.
    """
    given = state.given
    opened_now = state.parts if given is None else _parts_since(state, given.ended)
    before_unknown = given is not None and given.unseen and given.exposed is None
    if state.held or before_unknown or any(part.unseen for part in opened_now):
        return {"unseen": True}
    opened = exposed(state, now) if given is None else _with_addition(state, given, now)
    members: dict[str, Any] = {}
    if abs(opened - (now - state.since)) > 0.001:
        members["exposed"] = opened
    full = plan_seconds(state.plan)
    if state.plan and state.plan.steps and full is not None and opened >= full - 0.001:
        members["strips"] = strips(state.plan)
    return members


def nudged(plan: ExposurePlan | None, direction: int) -> ExposurePlan | None:
    """Return the plan a third of a stop longer (+1) or shorter (−1); None without a time to change.

    Of a test plate each step changes, and so each strip.
    """
    if plan is not None and plan.steps:
        return replace(plan, steps=tuple(third_of_a_stop(step, direction) for step in plan.steps))
    if plan is None or plan.seconds is None:
        return None
    return ExposurePlan(seconds=third_of_a_stop(plan.seconds, direction))


def third_of_a_stop(seconds: float, direction: int) -> float:
    """Return the exposure time a third of a stop up (+1) or down (−1), as dials name it.

    From a time that stands on no dial it is the dial's nearest to a third of a stop away.
    """
    scale = [round(value * 10.0**decade, 6) for decade in range(-1, 4) for value in NICE[:-1]]
    if direction > 0:
        further = [value for value in scale if value > seconds * 1.02] or scale[-1:]
    else:
        further = [value for value in scale if value < seconds * 0.98] or scale[:1]
    meant = seconds * 2.0 ** (direction / 3)
    return min(further, key=lambda value: abs(math.log(value / meant)))
