"""Which light is safe for a plate, and for the whole bench. Pure.

It tightens early and loosens late: a darker light counts from 15 s before a timed zero and while
the stage that needs it stands ready or in its lead-in; a lighter light counts only after 10 s of
its own stage.
"""

from __future__ import annotations

from collections.abc import Iterable

from darkroom.bench import clocks
from darkroom.bench import events as ev
from darkroom.bench.fold import fold_before
from darkroom.bench.state import PlateState
from darkroom.process.model import Light

EARLY = 15.0
LATE = 10.0
STRICTNESS: dict[Light, int] = {"white": 0, "covered": 1, "red": 2}
"""How much each light asks of the room: a covered plate asks less than a bare one."""


def strictest(lights: Iterable[Light]) -> Light:
    """Return the strictest of the lights; white when there is none."""
    return max(lights, key=lambda light: STRICTNESS[light], default="white")


def sensitive(state: PlateState) -> bool:
    """True while the plate can be fogged: sensitised, and not yet in the fixer."""
    span = state.process.sensitive
    if span == "never" or state.phase == "ended":
        return False
    first, last = state.process.index(span.from_), state.process.index(span.to)
    begun = state.index > first or (state.index == first and state.phase != "ready")
    over = state.index > last or (state.index == last and state.phase in ("running",))
    return begun and not over


def ended_at(state: PlateState) -> float | None:
    """Return when the plate was finished or given up, or None while it is worked on."""
    return state.ended.up if state.ended is not None and state.phase == "ended" else None


def plate_light(state: PlateState, now: float) -> Light:
    """Return the light this plate allows at `now`."""
    if state.phase == "ended" or state.racked:
        return "white"
    return strictest(
        [_own_light(state, now), *(_own_light_before(state, line) for line in _taken_back(state, now))]
    )


def _own_light(state: PlateState, now: float) -> Light:
    """Return the light of the stages the plate stands in, has just left, or is about to enter."""
    if state.phase == "ended" or state.racked:
        return "white"
    stage = state.stage
    lights: list[Light] = [stage.light]
    if state.done and (state.phase != "running" or now - state.since < LATE):
        lights.append(state.process.stage(state.done[-1].stage).light)
    for done in reversed(state.done):
        if now - done.ended >= LATE:
            break
        lights.append(state.process.stage(done.stage).light)
    if state.phase != "running":
        return strictest(lights)
    following = state.next_stage
    if following is not None and STRICTNESS[following.light] > STRICTNESS[stage.light]:
        zero = clocks.zero(state)
        if zero is not None and now >= zero - EARLY:
            lights.append(following.light)
    return strictest(lights)


def _taken_back(state: PlateState, now: float) -> list[ev.Undone]:
    """Return what was taken back or put back in the last 10 s: the light before it counts on for so long."""
    undone = [line for line in state.lines if type(line) is ev.Undone]
    return [line for line in undone if line.up is not None and 0 <= now - line.up < LATE]


def _before(state: PlateState, line: ev.Undone | ev.PlateEnded) -> PlateState:
    return fold_before(state, line)


def _own_light_before(state: PlateState, line: ev.Undone) -> Light:
    """Return the light at the instant of this line, before it; earlier undos count by themselves."""
    return _own_light(_before(state, line), line.up or 0.0)


def red_next(state: PlateState, now: float) -> bool:
    """True when a strike may at any moment lead into a stage under the safelight."""
    following = state.next_stage
    return (
        state.phase == "running"
        and following is not None
        and following.light == "red"
        and plate_light(state, now) != "red"
    )


def bench_light(plates: Iterable[PlateState], now: float) -> Light:
    """Return the strictest light of the plates of a bench, those that have just been given up among them."""
    return strictest(
        given_up_light(state, now) if state.phase == "ended" else plate_light(state, now) for state in plates
    )


def given_up_light(state: PlateState, now: float) -> Light:
    """Return the light that a plate which has ended asks for: given up, what it asked for, for 10 s more."""
    ended = ended_at(state)
    if ended is None or state.ended is None or state.ended.how != "abandoned":
        return "white"
    return plate_light(_before(state, state.ended), ended) if 0 <= now - ended < LATE else "white"


def needs_safelight(plates: Iterable[PlateState], now: float) -> bool:
    """True while any of the plates asks for the safelight, or is sensitive and covered."""
    plates = tuple(plates)
    return bench_light(plates, now) != "white" or any(map(sensitive, plates))


def turns(state: PlateState) -> tuple[float, ...]:
    """Return the instants at which this plate's light may change while nothing is struck."""
    ended = ended_at(state)
    if ended is not None:
        return (ended + LATE,)
    instants = [state.since + LATE]
    instants += [
        line.up + LATE for line in state.lines if isinstance(line, ev.Undone) and line.up is not None
    ]
    zero = clocks.zero(state)
    if zero is not None:
        instants += [zero - EARLY, zero]
    return tuple(instants)
