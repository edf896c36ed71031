"""Calls that come again within a running stage: rocking a tray, changing the water. Pure."""

from __future__ import annotations

import math

from darkroom.bench import clocks
from darkroom.bench.state import PlateState
from darkroom.process import washing
from darkroom.process.model import Repeat, Stage

CHANGE = "change"
"""The verb of a wash by changes of water, where its file names none."""
NOTED_FOR = 20.0
"""So long after a call to change a strike notes it, in seconds; at most half the time between calls."""


def repeat_of(stage: Stage) -> Repeat | None:
    """Return what comes again within the stage: as its file tells, or each change of its wash."""
    if stage.repeat is not None:
        return stage.repeat
    wash = stage.wash
    if wash is None or wash.lag <= 0 or washing.wash_changes(wash) is None:
        return None
    return Repeat(every=wash.lag, verb=CHANGE)


def call_count(state: PlateState) -> int | None:
    """Return n, how often it is done in the running stage, its beginning counted; None without a plan."""
    repeat, planned = repeat_of(state.stage), clocks.planned(state)
    if repeat is None or planned is None or state.phase != "running":
        return None
    return max(1, math.ceil(planned / repeat.every - 1e-9))


def call_instants(state: PlateState, since: float, until: float) -> tuple[tuple[int, float], ...]:
    """Return (k, instant) of the calls of the running stage, k from 1, none from its zero on.

    They begin with the last one before `since` and reach up to `until`. Call k says that it is done for the
    k + 1st time: the stage's start was the first.
    """
    repeat = repeat_of(state.stage)
    if repeat is None or state.phase != "running" or state.held:
        return ()
    count = call_count(state)
    last = math.floor((until - state.since) / repeat.every + 1e-9)
    last = last if count is None else min(last, count - 1)
    first = max(1, min(last, math.floor((since - state.since) / repeat.every)))
    instants = ((k, state.since + k * repeat.every) for k in range(first, last + 1))
    return tuple((k, at) for k, at in instants if at <= until)


def change_to_note(state: PlateState, now: float) -> int | None:
    """Return which change of the water a strike at `now` notes (2 for the first call), or None.

    Only a wash by changes, before its zero, soon after its call, once a call.
    """
    repeat = repeat_of(state.stage)
    if repeat is None or state.stage.wash is None or state.phase != "running" or state.held:
        return None
    zero = clocks.zero(state)
    if zero is not None and now >= zero:
        return None
    calls = call_instants(state, now, now)
    if not calls:
        return None
    k, at = calls[-1]
    if now - at >= min(NOTED_FOR * state.pace, repeat.every / 2) or state.changes_noted >= k:
        return None
    return k + 1
