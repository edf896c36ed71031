"""All plates at once: which are on the bench, in the rack, large; what a decision does to them. Pure."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench.bottles_at_hand import BottleAtHand
from darkroom.bench.fold import apply, begin
from darkroom.bench.intents import Decision
from darkroom.bench.state import PlateState

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
    """The bench at an instant: its plates by id, the one that waits for its first strike under "".

    `large` takes the strikes, since `taken_at` where nobody asked for that. `chosen` is the plate the hand
    chose last, until it takes a strike. `struck` is the plate of the last strike. `left` is (plate, instant)
    of the last end or racking, until another plate takes a strike.
    """

    plates: dict[str, PlateState] = {}
    large: str | None = None
    handed_over: frozenset[str] = frozenset()
    """The racked plates whose journals are any writer's: nothing is written to them from here."""
    taken_at: float | None = None
    chosen: str | None = None
    chosen_at: float | None = None
    struck: str | None = None
    struck_at: float | None = None
    left: tuple[str, float] | None = None
    temperatures: dict[str, Known] = {}
    humidity: Known | None = None
    bottles: tuple[BottleAtHand, ...] = ()
    """The bottles of the book that plates can use, as it was read last."""
    changed_bottles: dict[str, dict[str, str]] = {}
    """{plate: {role: id of a bottle}} chosen since the plate began, for stages still to begin."""

    @property
    def on_bench(self) -> tuple[PlateState, ...]:
        """The plates being worked on, the one that waits for its first strike included."""
        return tuple(state for state in self.plates.values() if state.on_bench)

    @property
    def followed(self) -> dict[str, PlateState]:
        """{plate: its state} of those whose journals are the bench's: clocks count, readings are noted."""
        return {
            key: state
            for key, state in self.plates.items()
            if state.phase != "ended" and key not in self.handed_over
        }

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
    taken = recent(bench, now)
    humidity = start.humidity or taken.pop("humidity", None)
    temperatures = {**taken, **start.temperatures}
    start = replace(start, temperatures=temperatures, humidity=humidity)
    return replace(
        bench,
        plates={**bench.plates, NEW: begin(start, now)},
        large=NEW,
        taken_at=None,
        chosen=NEW,
        chosen_at=now,
    )


def with_start(bench: Bench, start: ev.PlateStarted) -> Bench:
    """Give the plate that waits for its first strike another first line, of the same process and readings."""
    state = bench.plates[NEW]
    state = replace(state, start=start, lines=(start, *state.lines[1:]))
    return replace(bench, plates={**bench.plates, NEW: state})


def recent(bench: Bench, now: float) -> dict[str, ev.Reading]:
    """Return {source or "humidity": (value, where it is from)} of the readings that a new plate takes."""
    known = {**bench.temperatures, **({"humidity": bench.humidity} if bench.humidity else {})}
    return {s: (reading.value, reading.origin) for s, reading in known.items() if now - reading.up < STALE}


def without_new(bench: Bench) -> Bench:
    """Take the plate that waits for its first strike off the bench."""
    plates = {key: state for key, state in bench.plates.items() if key != NEW}
    large = bench.large if bench.large in plates else _first_on_bench(plates.values())
    return replace(bench, plates=plates, large=large)


def with_plate(bench: Bench, state: PlateState) -> Bench:
    """Put a plate on the bench as its journal left it; a racked one is handed over."""
    large = state.plate if bench.large is None and state.on_bench else bench.large
    handed_over = bench.handed_over | {state.plate} if state.racked else bench.handed_over
    return replace(bench, plates={**bench.plates, state.plate: state}, large=large, handed_over=handed_over)


def hand_over(bench: Bench, plate: str) -> Bench:
    """Give the journal of a racked plate to any writer; the plate is not large from then on."""
    large = None if bench.large == plate else bench.large
    return replace(bench, large=large, handed_over=bench.handed_over | {plate})


def without(bench: Bench, plate: str) -> Bench:
    """Take a plate off the bench."""
    plates = {key: state for key, state in bench.plates.items() if key != plate}
    changed = {key: roles for key, roles in bench.changed_bottles.items() if key != plate}
    large = None if bench.large == plate else bench.large
    return replace(bench, plates=plates, large=large, changed_bottles=changed)


def with_large(bench: Bench, plate: str | None) -> Bench:
    """Return the bench as it is for what is meant for this plate, large or not; None is the large one."""
    if plate is None or plate == bench.large:
        return bench
    return replace(bench, large=plate, taken_at=None)


def apply_decision(bench: Bench, decision: Decision) -> Bench:
    """Fold the decision's events into the bench."""
    plates = dict(bench.plates)
    for plate, lines in decision.events:  # what gets a line is the bench's
        for line in lines:
            if isinstance(line, ev.PlateStarted):
                plates.pop(NEW, None)
                plates[plate] = begin(line, line.up or 0.0)
            else:
                plates[plate] = apply(plates[plate], line)
    large = bench.large if decision.large is None else decision.large
    if large is not None and large not in plates:
        large = _first_on_bench(plates.values())
    handed_over = bench.handed_over.difference(plate for plate, _ in decision.events)
    return replace(bench, plates=plates, large=large, handed_over=handed_over)


def _first_on_bench(plates: Iterable[PlateState]) -> str | None:
    return next((state.plate for state in plates if state.on_bench), None)


def developing(state: PlateState) -> bool:
    """True while the developer is on the plate."""
    window = state.process.wet_window
    return window is not None and state.stage.name == window.to and state.phase == "running"
