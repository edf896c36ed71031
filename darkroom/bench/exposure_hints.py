"""What the hand does while the lens is open: the steps and flashes of a plan that runs by itself. Pure."""

from __future__ import annotations

from darkroom.bench import exposure
from darkroom.bench.state import PlateState
from darkroom.process.text.durations import show_left


def capped_since(state: PlateState, now: float) -> float | None:
    """Return when the timed pause of the running exposure began that lasts at `now`, or None."""
    for _, end, following in _timed_steps(state):
        if following is not None and end <= now < following:
            return end
    return None


def step_left(state: PlateState, now: float) -> float | None:
    """Return the seconds until the running step of steps that run by themselves ends, or None."""
    ends = (end for start, end, _ in _timed_steps(state) if start <= now < end)
    return next((end - now for end in ends), None)


def cappings(state: PlateState) -> list[float]:
    """Return when the lens is capped before a timed pause or at the end of steps that run by themselves."""
    return [end for _, end, following in _timed_steps(state) if following is None or following > end]


def to_do(state: PlateState, now: float, zero: float | None) -> str:
    """Return the sentence for an exposure that runs to `zero`; a strike ends it at any time."""
    if zero is None:
        return "Cap on ends it: press as you cap."
    plan, parts = state.plan, len(state.parts)
    if plan is not None and plan.steps and plan.between == "strike" and parts <= len(plan.steps):
        return f"Step {parts} of {len(plan.steps)}. Cap on at zero."
    if plan is not None and plan.pops and parts <= 1:
        ahead = [at for at in exposure.step_instants(plan, state.since) if at > now]
        if not ahead:
            return "The last flash."
        return f"Flash {plan.pops - len(ahead) + 1} of {plan.pops} in {show_left(ahead[0] - now)}."
    steps = _timed_steps(state)
    for number, (_, end, following) in enumerate(steps, 1):
        if now < end:
            what = "Cap on" if following is None or following > end else "Cover one more strip"
            return f"Step {number} of {len(steps)}. {what} in {show_left(end - now)}."
        if following is not None and now < following:
            return f"Cap on. Step {number + 1} of {len(steps)} uncaps in {show_left(following - now)}."
    return "Cap on at zero. A press ends it before."


def _timed_steps(state: PlateState) -> list[tuple[float, float, float | None]]:
    """Return (start, end, start of the next or None) of the steps that the clock alone runs through."""
    plan = state.plan
    if state.phase != "running" or len(state.parts) > 1 or state.held:
        return []
    if plan is None or not plan.steps or plan.between == "strike":
        return []
    pause = float(plan.between) if isinstance(plan.between, float | int) else 0.0
    steps: list[tuple[float, float, float | None]] = []
    at = state.since
    for number, step in enumerate(plan.steps, 1):
        end = at + step
        steps.append((at, end, end + pause if number < len(plan.steps) else None))
        at = end + pause
    return steps
