"""Which plate is large, and so takes the strikes. Pure."""

from __future__ import annotations

from msgspec.structs import replace

from darkroom.bench import clocks, endings, exposure, temperatures
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench, Known
from darkroom.bench.intents import Intent
from darkroom.bench.state import PlateState

QUIET_AFTER_STRIKE = 2.0
"""The large place is not taken by a call so soon after a strike, in seconds."""
JUST_CHANGED = 1.0
"""A strike so soon after the large place was taken is refused, in seconds."""
LOOKED_ASIDE = 10.0
"""So long a look at another plate keeps the large place from the plate that holds it."""


def holds_large(state: PlateState) -> bool:
    """True for a plate being coated, or between the silver bath and the end of its sensitivity."""
    span = state.process.sensitive
    if span == "never" or not state.on_bench:
        return False
    first, last = state.process.index(span.from_), state.process.index(span.to)
    if state.index == first - 1:
        return state.phase == "running"
    return first < state.index < last or (state.index == last and state.phase == "ready")


def calling_since(state: PlateState, now: float) -> float | None:
    """Return since when the plate asks for a hand, or None while it does not."""
    if not state.on_bench or state.phase != "running":
        return None
    zero, ending = clocks.zero(state), endings.of(state.stage)
    if zero is not None:
        if state.held or (ending.calls and now >= zero):
            return zero
        return zero if exposure.between_parts(state, now) else None
    usual = temperatures.usual(state) if ending.has_usual else None
    if usual is not None and now >= state.since + usual[1]:
        return state.since + usual[1]
    return None


def settle(bench: Bench, now: float) -> Bench:
    """Return the bench with the large place given to the plate that has a right to it at `now`."""
    shown = bench.shown
    pace = shown.pace if shown is not None else 1.0
    if shown is not None and shown.phase == "ended" and bench.on_bench:
        shown = None
    if (
        bench.struck_at is not None
        and now - bench.struck_at < QUIET_AFTER_STRIKE * pace
        and shown is not None
    ):
        return bench
    looked = bench.looked_at is not None and now - bench.looked_at < LOOKED_ASIDE * pace
    holders = [state for state in bench.on_bench if holds_large(state)]
    if holders:
        if shown is not None and (holds_large(shown) or looked):
            return bench
        first = min(holders, key=lambda s: clocks.dry_instant(s) or float("inf"))
        return _take(bench, first.plate, now)
    if shown is not None and (looked or calling_since(shown, now) is not None):
        return bench
    callers = [(since, state) for state in bench.on_bench if (since := calling_since(state, now)) is not None]
    if callers:
        return _take(bench, min(callers, key=lambda pair: pair[0])[1].plate, now)
    if shown is None or (shown.racked and bench.on_bench):
        first_plate = next(iter(bench.on_bench), None)
        return _take(bench, first_plate.plate, now) if first_plate is not None else bench
    return bench


def _take(bench: Bench, plate: str, now: float) -> Bench:
    return bench if bench.large == plate else replace(bench, large=plate, taken_at=now, looked_at=None)


def remember(bench: Bench, intent: Intent, now: float) -> Bench:
    """Return the bench with what an intent leaves outside any plate: readings, looks, strikes."""
    match intent:
        case want.ReadTemperature():
            known = {**bench.temperatures, intent.source: Known(intent.celsius, intent.origin, now)}
            return replace(bench, temperatures=known)
        case want.ReadHumidity():
            return replace(bench, humidity=Known(intent.percent, intent.origin, now))
        case want.Look():
            return replace(bench, looked_at=now, taken_at=None)
        case want.Go() | want.Undo() | want.Earlier():
            return replace(bench, struck_at=now)
    return bench
