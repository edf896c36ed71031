"""Which plate is large, and so takes the strikes. Pure.

The first of these that there is; among equals the one with the least time left, then the one begun earlier:

1. in a lead-in, developing, in the first 15 s of the water after the developer, or exposing within reach of
   the keys with less than 30 s left or without a plan;
2. its bath calls and another, coated plate waits for that bath;
3. running by eye with ether, a flame or varnish open;
4. its wet clock runs, and it is not exposing;
5. in a bath or in cyanide, from 10 s before its call;
6. fixing, before it has cleared;
7. chosen by hand: looked at, put on the bench, taken from the rack, large before a restart;
8. any other plate that calls, the longest overdue first;
9. the plate of the last strike.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from msgspec.structs import replace

from darkroom.bench import clocks, endings, exposure, questions, temperatures
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench, Known, developing
from darkroom.bench.intents import Decision, Intent
from darkroom.bench.state import PlateState

QUIET_AFTER_STRIKE = 2.0
"""The large place does not change unasked so soon after a strike, in seconds of the hand."""
JUST_CHANGED = 1.0
"""A strike so soon after the large place changed unasked is refused, in seconds of the hand."""
LOOKED_ASIDE = 5.0
"""So long a plate chosen by hand stays large against one that has a right to the place."""
LEFT_FIRST = 60.0
"""So long an undo takes back first that a plate ended or was racked, in seconds of the hand."""
AT_ONCE = 2
"""The claims up to this one take the large place also from a plate that asks something."""
WATER = 15.0
EXPOSURE_ENDS = 30.0
BEFORE_CALL = 10.0
OPEN_HAZARDS = frozenset({"ether", "flame", "varnish"})


class Claim(NamedTuple):
    """A plate's right to the large place: the smaller comes first."""

    rank: int
    left: float
    begun: float
    plate: str


def claims(bench: Bench, now: float) -> list[Claim]:
    """Return the claims 1 to 6 of the plates on the bench at `now`, the strongest first."""
    found = []
    for key, state in bench.plates.items():
        rank = _rank(bench, state, now) if state.on_bench else None
        if rank is not None:
            found.append(Claim(rank, _left(state, now), state.lines[0].up or 0.0, key))
    return sorted(found)


def cannot_wait(bench: Bench, now: float) -> bool:
    """True while a plate has the first claim: seconds decide over it, and the next press is meant for it."""
    return any(claim.rank == 1 for claim in claims(bench, now))


def called_since(bench: Bench, since: float, now: float) -> bool:
    """True when after `since` seconds a plate with the first claim came to its call, or went on by itself.

    Its developer's zero, the end of a lead-in or of an exposure.
    """
    for claim in claims(bench, now):
        calling = calling_since(bench.plates[claim.plate], now) if claim.rank == 1 else None
        if calling is not None and since < calling <= now:
            return True
    return any(
        state.automatic_at is not None and since < state.automatic_at and _left_lens_or_lead_in(state)
        for state in bench.on_bench
    )


def rightful(bench: Bench, now: float) -> str | None:
    """Return the key of the plate that has a right to the large place at `now`; None on an empty bench."""
    on_bench = {key: state for key, state in bench.plates.items() if state.on_bench}
    chosen = bench.chosen if bench.chosen in on_bench else None
    claimed = claims(bench, now)
    asking = on_bench.get(bench.large or "")
    if asking is not None and questions.is_open(asking, now) and not (claimed and claimed[0].rank <= AT_ONCE):
        return bench.large  # its next strike is the answer
    if claimed:
        return chosen if chosen is not None and _holds_against(bench, now) else claimed[0].plate
    if chosen is not None:
        return chosen
    calling = [
        (since, key) for key, state in on_bench.items() if (since := calling_since(state, now)) is not None
    ]
    if calling:
        return min(calling)[1]
    for key in (bench.struck, bench.large):
        if key in on_bench:
            return key
    return next(iter(on_bench), None)


def waits_behind(bench: Bench, now: float) -> PlateState | None:
    """Return the plate with a claim whose place the plate chosen by hand keeps at `now`, or None."""
    if bench.chosen is None or bench.chosen != bench.large:
        return None
    claimed = claims(bench, now)
    return None if not claimed or claimed[0].plate == bench.large else bench.plates[claimed[0].plate]


def calling_since(state: PlateState, now: float) -> float | None:
    """Return since when the plate asks for a hand, or None while it does not."""
    if not state.on_bench or state.phase != "running":
        return None
    zero, ending = clocks.zero(state), endings.of(state.stage)
    if zero is not None:
        if state.held or (ending.calls and now >= zero):
            return zero
        return zero if exposure.between_parts(state, now) else None
    over = temperatures.over_usual(state) if ending.has_usual else None
    return state.since + over if over is not None and now >= state.since + over else None


def settle(bench: Bench, now: float) -> Bench:
    """Return the bench with the large place given to the plate that has a right to it at `now`."""
    shown = bench.shown
    pace = shown.pace if shown is not None else 1.0
    if (
        bench.struck_at is not None
        and now - bench.struck_at < QUIET_AFTER_STRIKE * pace
        and shown is not None
    ):
        return bench
    holder = rightful(bench, now)
    if holder is None or holder == bench.large:
        return bench
    glanced = bench.chosen is not None and bench.chosen == bench.large
    return replace(bench, large=holder, taken_at=now, chosen=None if glanced else bench.chosen)


def remember(bench: Bench, intent: Intent, decision: Decision, now: float) -> Bench:
    """Return the bench with what an intent leaves outside any plate: readings, choices, strikes."""
    match intent:
        case want.ReadTemperature():
            known = {**bench.temperatures, intent.source: Known(intent.celsius, intent.origin, now)}
            return replace(bench, temperatures=known)
        case want.ReadHumidity():
            return replace(bench, humidity=Known(intent.percent, intent.origin, now))
        case want.Look() | want.FromRack() if decision.refusal is None:
            return replace(bench, chosen=bench.large, chosen_at=now, taken_at=None)
        case want.Go() | want.Undo() | want.Earlier():
            bench = _struck(bench, decision, now)
    for plate, lines in decision.events:
        if any(isinstance(line, ev.PlateEnded | ev.Racked) for line in lines):
            bench = replace(bench, left=(plate, now))
    return bench


def is_at_rest(bench: Bench, now: float) -> bool:
    """True when no plate is worked on, and the last strike was not just now: go offers a new plate."""
    if bench.on_bench:
        return False
    pace = bench.shown.pace if bench.shown is not None else 1.0
    return bench.struck_at is None or now - bench.struck_at >= QUIET_AFTER_STRIKE * pace


def just_left(bench: Bench, now: float) -> str | None:
    """Return the plate whose end or racking an undo at `now` takes back first, or None."""
    if bench.left is None:
        return None
    plate, at = bench.left
    state = bench.plates.get(plate)
    if state is None or state.on_bench or now - at > LEFT_FIRST * state.pace:
        return None
    if (
        plate in bench.handed_over
    ):  # a strike of the last moment, decided after it: the journal is others' by now
        return None
    return plate


def _struck(bench: Bench, decision: Decision, now: float) -> Bench:
    """Return the bench after a strike of the large plate; one that was taken ends the choice by hand."""
    struck = decision.events[0][0] if decision.events else bench.large
    chosen = bench.chosen
    if decision.refusal is None and (chosen == struck or chosen not in bench.plates):
        chosen = None
    left = bench.left if not decision.events or bench.left is None or bench.left[0] == struck else None
    return replace(bench, struck_at=now, struck=struck, chosen=chosen, left=left)


def _holds_against(bench: Bench, now: float) -> bool:
    """Whether the plate chosen by hand keeps the place from one with a claim: briefly, and while it asks."""
    chosen = bench.plates[bench.chosen or ""]
    looked = bench.chosen_at is not None and now - bench.chosen_at < LOOKED_ASIDE * chosen.pace
    return looked or questions.is_open(chosen, now) is not None


def _rank(bench: Bench, state: PlateState, now: float) -> int | None:
    """Return the first of the six claims that a plate on the bench has, or None."""
    exposing = endings.of(state.stage).opens_lens and state.phase == "running"
    if state.phase == "lead_in" or developing(state) or _after_developer(state, now):
        return 1
    if exposing and state.start.timed == "here":
        zero = clocks.zero(state)
        if zero is None or zero - now < EXPOSURE_ENDS:
            return 1
    if _bath_is_wanted(bench, state, now):
        return 2
    if state.phase == "running" and OPEN_HAZARDS & set(state.stage.holds) and clocks.zero(state) is None:
        return 3
    if clocks.wet_clock_ends(state) is not None and not exposing:
        return 4
    if _in_bath_or_cyanide(state) and (call := _call(state)) is not None and now >= call - BEFORE_CALL:
        return 5
    if endings.of(state.stage).clears and state.phase == "running" and state.cleared_at is None:
        return 6
    return None


def _left(state: PlateState, now: float) -> float:
    """Return the time left that decides among equal claims, in seconds; endless where nothing ends."""
    ends = clocks.zero(state) if state.phase in ("lead_in", "running") else None
    if ends is None or not (state.phase == "lead_in" or developing(state)):
        dry = clocks.wet_clock_ends(state)
        ends = dry if dry is not None else ends
    return math.inf if ends is None else ends - now


def _after_developer(state: PlateState, now: float) -> bool:
    """Whether the water after the developer has just gone on."""
    window = state.process.wet_window
    if window is None or state.phase != "running" or state.index != state.process.index(window.to) + 1:
        return False
    return now - state.since < WATER


def _left_lens_or_lead_in(state: PlateState) -> bool:
    """Whether what the plate last left by itself was an exposure or a lead-in."""
    last = state.done[-1] if state.done else None
    return (
        last is None
        or last.ended != state.automatic_at
        or endings.of(state.process.stage(last.stage)).opens_lens
    )


def _bath_is_wanted(bench: Bench, state: PlateState, now: float) -> bool:
    """Whether the plate's silver bath calls while another, coated plate waits for that bath."""
    window = state.process.wet_window
    if window is None or state.stage.name != window.from_ or calling_since(state, now) is None:
        return False
    others = [other for other in bench.on_bench if other is not state]
    inside = [other for other in others if other.stage.name == window.from_ and other.phase == "running"]
    if len(inside) + 1 < (state.stage.holds_plates or 1):
        return False
    return any(
        other.phase == "running" and other.next_stage is not None and other.next_stage.name == window.from_
        for other in others
    )


def _in_bath_or_cyanide(state: PlateState) -> bool:
    window = state.process.wet_window
    in_bath = window is not None and state.stage.name == window.from_
    return state.phase == "running" and (in_bath or "cyanide" in state.stage.holds)


def _call(state: PlateState) -> float | None:
    """Return when the running stage calls, or None while that is not known."""
    zero = clocks.zero(state)
    if zero is not None:
        return zero
    over = temperatures.over_usual(state) if endings.of(state.stage).has_usual else None
    return None if over is None else state.since + over
