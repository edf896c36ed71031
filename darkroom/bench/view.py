"""What there is to see: a snapshot of the bench at an instant, for screens. Pure.

Every string here is meant to be read by a person; every number is seconds or °C.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from darkroom.bench import clocks, endings, exposure, exposure_hints, instruction, temperatures
from darkroom.bench import light as lights
from darkroom.bench.all_plates import NEW, Bench
from darkroom.bench.hazards import clashes
from darkroom.bench.instruction import LargeWord
from darkroom.bench.large_place import calling_since
from darkroom.bench.moments import Moment
from darkroom.bench.state import PlateState
from darkroom.process.model import Light, Stage
from darkroom.process.text.durations import show_elapsed

Shape = Literal["ready", "lead_in", "down", "up", "pause", "over", "held", "rack", "ended"]
"""How the stage's time is to be drawn: one shape for each thing it can mean."""
LargeShape = Literal[Shape, "wet", "past_wet"]
"""How the large time is drawn: as the stage's own, or as the wet clock's."""


class WetView(msgspec.Struct, frozen=True):
    """The wet clock: seconds left (negative when past wet), and whether it is time to go back.

    `assumed`: the temperature or the humidity of the room was not read. `gone` is the part of the window that
    has passed, 0 to 1.
    """

    left: float
    back_now: bool
    past: bool
    assumed: bool
    gone: float


class LargeTime(msgspec.Struct, frozen=True):
    """The time in the large digits: its shape, its seconds, how far it is (0 to 1, or None)."""

    shape: LargeShape
    seconds: float
    fraction: float | None


class PlateView(msgspec.Struct, frozen=True, kw_only=True):
    """One plate at an instant."""

    plate: str
    number: int
    process: str
    subject: str | None
    stage: Stage
    shape: Shape
    seconds: float
    fraction: float | None
    planned: float | None
    calling: float | None
    moment: Moment
    word: LargeWord
    large_time: LargeTime
    do: str
    question: str | None
    then: str | None
    celsius: float
    celsius_from: str
    source: str | None
    gives: float | None
    outside: bool
    wet: WetView | None
    needs: str | None
    strips: str | None
    light: Light
    red_next: bool
    cautions: tuple[str, ...]
    estimated: bool
    at_least: bool
    cyanide: bool
    rehearsal: bool
    exposure: str | None


class BenchView(msgspec.Struct, frozen=True, kw_only=True):
    """The bench at an instant: the large plate, the others, the light, what to beware of."""

    large: PlateView | None
    rail: tuple[PlateView, ...]
    rack: int
    light: Light
    red_next: bool
    clashes: tuple[str, ...]
    cyanide: bool


def bench_view(bench: Bench, now: float) -> BenchView:
    """Return the snapshot of the bench at `now`."""
    shown = bench.shown
    others = tuple(
        plate_view(state, now) for key, state in bench.plates.items() if state.on_bench and key != bench.large
    )
    on_bench = bench.on_bench
    light = lights.bench_light(bench.plates.values(), now)
    return BenchView(
        large=None if shown is None else plate_view(shown, now),
        rail=others,
        rack=len(bench.rack),
        light=light,
        red_next=light != "red" and any(lights.red_next(state, now) for state in on_bench),
        clashes=clashes(bench),
        cyanide=any(
            "cyanide" in state.stage.holds and state.phase != "ended"
            for state in on_bench
            if state.plate != NEW
        ),
    )


def plate_view(state: PlateState, now: float) -> PlateView:
    """Return the snapshot of one plate at `now`."""
    stage = state.stage
    shape, seconds, fraction = _time(state, now)
    degrees, origin = temperatures.celsius(state)
    wet = _wet(state, now)
    return PlateView(
        plate=state.plate,
        number=state.number,
        process=state.process.name,
        subject=state.start.subject,
        stage=stage,
        shape=shape,
        seconds=seconds,
        fraction=fraction,
        planned=clocks.planned(state),
        calling=calling_since(state, now),
        moment=instruction.moment(state, now),
        word=instruction.large_word(state, now),
        large_time=_large_time(state, LargeTime(shape, seconds, fraction), wet),
        do=instruction.sentence(state, now),
        question=instruction.question(state, now),
        then=instruction.what_next(state, now),
        celsius=degrees,
        celsius_from=origin,
        source=stage.at,
        gives=_gives(state),
        outside=stage.limits is not None and not stage.limits[0] <= degrees <= stage.limits[1],
        wet=wet,
        needs=wet_against_need(state),
        strips=_strips(state),
        light=lights.plate_light(state, now),
        red_next=lights.red_next(state, now),
        cautions=cautions(state),
        estimated=_counts_from_before(state, state.estimated_before, wet),
        at_least=_counts_from_before(state, state.longer_ago_before, wet),
        cyanide=any("cyanide" in stage.holds for stage in state.process.stages),
        rehearsal=state.start.rehearsal,
        exposure=exposure.plan_text(state.plan),
    )


def _time(state: PlateState, now: float) -> tuple[Shape, float, float | None]:
    """Return the shape, the seconds it shows, and how far the phase is (0 to 1, or None).

    Of an exposure in steps that run by themselves the seconds are those to the next thing the hand does; how
    far it is counts the whole.
    """
    if state.phase == "ended":
        return "ended", 0.0, None
    if state.racked:
        return "rack", now - state.since, None
    zero = clocks.zero(state)
    if state.phase == "ready":
        return "ready", _ready_seconds(state), None
    if state.phase == "lead_in":
        left = max(0.0, (zero or now) - now)
        return "lead_in", left, 1.0 - left / state.lead_seconds if state.lead_seconds else 1.0
    elapsed = now - state.since
    if zero is None:
        over = temperatures.over_usual(state)
        return "up", elapsed, min(1.0, elapsed / over) if over else None
    if state.held and now >= zero:
        return "held", now - zero, 1.0
    if exposure.between_parts(state, now):
        return "pause", now - zero, 1.0
    if now < zero:
        opens_lens = endings.of(state.stage).opens_lens
        capped = exposure_hints.capped_since(state, now) if opens_lens else None
        if capped is not None:
            return "pause", now - capped, 1.0 - (zero - now) / (zero - state.since)
        start = state.parts[-1].started if state.parts else state.since
        if endings.of(state.stage).clears and state.cleared_at is not None:
            start = state.cleared_at
        whole = zero - start
        step = exposure_hints.step_left(state, now) if opens_lens else None
        left = zero - now if step is None else step
        return "down", left, 1.0 - (zero - now) / whole if whole > 0 else 1.0
    if endings.of(state.stage).calls:
        return "over", now - zero, 1.0
    return "down", 0.0, 1.0


def _ready_seconds(state: PlateState) -> float:
    """What the ready stage will take: the plan of an exposure, or its law; 0 when it counts up."""
    if endings.of(state.stage).opens_lens:
        return exposure.plan_takes(state.plan) or 0.0
    return clocks.law_seconds(state) or 0.0


def _gives(state: PlateState) -> float | None:
    """The whole time of the stage at the temperature that counts, as it stands."""
    running = clocks.planned(state)
    return running if running is not None else clocks.law_seconds(state)


def _wet(state: PlateState, now: float) -> WetView | None:
    dry = clocks.wet_clock_ends(state)
    if dry is None:
        return None
    left, began = dry - now, state.wet_from if state.wet_from is not None else now
    gone = (now - began) / (dry - began) if dry > began else 1.0
    back_now = 0 < left <= clocks.back_reserve(state)
    return WetView(left, back_now, left <= 0, clocks.wet_is_assumed(state), max(0.0, min(1.0, gone)))


def _large_time(state: PlateState, own: LargeTime, wet: WetView | None) -> LargeTime:
    """Return the time for the large digits.

    The wet clock gives way only to a lead-in and to an exposure that counts; it has stopped in the developer.
    """
    counts = state.phase == "running" and own.shape in ("down", "up") and endings.of(state.stage).opens_lens
    if wet is None or state.phase == "lead_in" or counts:
        return own
    return LargeTime("past_wet" if wet.past else "wet", abs(wet.left), wet.gone)


def wet_against_need(state: PlateState) -> str | None:
    """Return "wet 10:00 assumed, needed about 3:20" before the plate is coated and before it is lifted."""
    window = state.process.wet_window
    if window is None or state.wet_from is not None:
        return None
    lifted = state.process.index(window.from_)
    if state.index not in (lifted, lifted - 1):
        return None
    stays, needs = clocks.wet_window(state), clocks.wet_needed(state)
    if stays is None or needs is None:
        return None
    assumed = " assumed" if clocks.wet_is_assumed(state) else ""
    return f"wet {show_elapsed(stays)}{assumed}, needed about {show_elapsed(needs)}"


def _counts_from_before(state: PlateState, restart: float | None, wet: WetView | None) -> bool:
    """Return whether a time that the plate shows counts from before this restart, or from its instant."""
    if restart is None:
        return False
    counts = state.racked or state.phase in ("lead_in", "running")
    dries = wet is not None and state.wet_from is not None and state.wet_from <= restart
    return dries or (counts and state.since <= restart)


def _strips(state: PlateState) -> str | None:
    totals = exposure.strips(state.plan)
    if totals is None or not endings.of(state.stage).opens_lens:
        return None
    return "strips " + " · ".join(f"{total:g}" for total in totals) + " s"


def cautions(state: PlateState) -> tuple[str, ...]:
    """Return the cautions to show now: the next stage's, and the present one's while it is ready."""
    if state.phase == "ended":
        return ()
    shown = list(state.stage.cautions) if state.phase in ("ready", "lead_in") else []
    if state.phase == "running" and state.next_stage is not None:
        shown += state.next_stage.cautions
    return tuple(shown)
