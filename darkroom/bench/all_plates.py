"""All plates at once: which one is large, what an intent does, what warns of what. Pure."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
from msgspec.structs import replace

from darkroom.bench import clocks, endings, exposure, temperatures
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.fold import apply, begin
from darkroom.bench.intents import Decision, Intent
from darkroom.bench.state import PlateState

QUIET_AFTER_STRIKE = 2.0
"""The large place is not taken by a call so soon after a strike, in seconds."""
JUST_CHANGED = 1.0
"""A strike so soon after the large place was taken is refused, in seconds."""
LOOKED_ASIDE = 10.0
"""So long a look at another plate keeps the large place from the plate that holds it."""
STALE = 7200.0
"""Readings older than two hours are offered to a new plate, not taken."""
NEW = ""
"""The key of the plate that stands ready for its first strike."""


class Known(msgspec.Struct, frozen=True):
    """The latest reading of a source: value, where it is from, when."""

    value: float
    origin: str
    up: float


class Bench(msgspec.Struct, frozen=True, kw_only=True):
    """The bench at an instant: its plates by id, the one that waits for its first strike under ""."""

    plates: dict[str, PlateState] = {}
    large: str | None = None
    taken_at: float | None = None
    looked_at: float | None = None
    struck_at: float | None = None
    temperatures: dict[str, Known] = {}
    humidity: Known | None = None

    @property
    def on_bench(self) -> tuple[PlateState, ...]:
        """The plates being worked on, the one that waits for its first strike included."""
        return tuple(state for state in self.plates.values() if state.on_bench)

    @property
    def rack(self) -> tuple[PlateState, ...]:
        """The plates on the rack."""
        return tuple(state for state in self.plates.values() if state.racked)

    @property
    def shown(self) -> PlateState | None:
        """The plate that is large, or None."""
        return self.plates.get(self.large) if self.large is not None else None


def with_new(bench: Bench, start: ev.PlateStarted, now: float) -> Bench:
    """Put a plate on the bench that waits for its first strike; it becomes large.

    The latest readings are taken when they are younger than two hours; what was typed for this
    plate (any origin but `assumed`) wins.
    """
    taken = {
        source: (known.value, known.origin)
        for source, known in bench.temperatures.items()
        if now - known.up < STALE
    }
    temperatures = {**taken, **start.temperatures}
    humidity = start.humidity
    if humidity is None and bench.humidity is not None and now - bench.humidity.up < STALE:
        humidity = (bench.humidity.value, bench.humidity.origin)
    start = replace(start, temperatures=temperatures, humidity=humidity)
    return replace(
        bench, plates={**bench.plates, NEW: begin(start, now)}, large=NEW, taken_at=None, looked_at=now
    )


def without_new(bench: Bench) -> Bench:
    """Take the plate that waits for its first strike off the bench."""
    plates = {key: state for key, state in bench.plates.items() if key != NEW}
    large = bench.large if bench.large in plates else _first_on_bench(plates.values())
    return replace(bench, plates=plates, large=large)


def with_plate(bench: Bench, state: PlateState) -> Bench:
    """Put a plate on the bench as its journal left it."""
    large = state.plate if bench.large is None and state.on_bench else bench.large
    return replace(bench, plates={**bench.plates, state.plate: state}, large=large)


def apply_decision(bench: Bench, decision: Decision) -> Bench:
    """Fold the decision's events into the bench."""
    plates = dict(bench.plates)
    for plate, lines in decision.events:
        for line in lines:
            if isinstance(line, ev.PlateStarted):
                plates.pop(NEW, None)
                plates[plate] = begin(line, line.up or 0.0)
            else:
                plates[plate] = apply(plates[plate], line)
    large = bench.large if decision.large is None else decision.large
    if large is not None and large not in plates:
        large = _first_on_bench(plates.values())
    return replace(bench, plates=plates, large=large)


def _first_on_bench(plates: Iterable[PlateState]) -> str | None:
    return next((state.plate for state in plates if state.on_bench), None)


# --- the large place -------------------------------------------------------------------------


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
    callers = [(since, state) for state in bench.on_bench
               if (since := calling_since(state, now)) is not None]  # fmt: skip
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


# --- what warns of what ----------------------------------------------------------------------

CLASHES = (
    ("ether", "flame", "ether on the bench and a flame: put the flame out"),
    ("acid", "cyanide", "acid and cyanide on the bench: keep trays, sinks and waste apart"),
)


def held_now(state: PlateState) -> frozenset[str]:
    """Return what the plate's stage has about it while it runs or stands ready."""
    if not state.on_bench or (state.phase == "ready" and not state.done and state.plate == NEW):
        return frozenset()
    return frozenset(state.stage.holds)


def clashes(bench: Bench) -> tuple[str, ...]:
    """Return the warnings between plates, while they last."""
    found = []
    states = bench.on_bench
    for one, other, words in CLASHES:
        if any(one in held_now(a) and other in held_now(b) for a in states for b in states if a is not b):
            found.append(words)
    return tuple(found)


def developing(state: PlateState) -> bool:
    """True while the developer is on the plate."""
    window = state.process.wet_window
    return window is not None and state.stage.name == window.to and state.phase == "running"
