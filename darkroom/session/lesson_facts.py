"""What holds on the bench at an instant, in the words by which a lesson says when it can be done. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from darkroom.bench import clocks, cues, endings, large_place, questions, repeats
from darkroom.bench.all_plates import NEW, Bench
from darkroom.bench.state import PlateState

Fact = Literal[
    "new",  # the large plate waits for its first strike
    "begun",  # the large plate has begun
    "free",  # a stage runs that a strike ends unasked, in room light
    "early",  # a stage runs whose end is still so far that a strike is asked about
    "bath",  # the large plate is in its silver bath
    "bath_calls",  # the large plate's silver bath is over
    "draining",  # out of the bath, before the holder
    "lens_ahead",  # the large plate is yet to be exposed
    "lens_ready",  # the exposure stands ready
    "timed",  # the exposure is one time
    "steps",  # the exposure is a test plate's
    "lens_open",
    "developer_ready",
    "clearing",  # in the fixer, not yet cleared
    "after_fixing",  # the large plate is out of the fixer, or all plates are on the rack
    "washing",  # the large plate is washed by changes of water, before its end
    "one",  # a single plate is on the bench
    "two",  # several plates are on the bench
    "elsewhere",  # another plate than the large one is in its silver bath
    "rack",  # a plate is on the rack
    "calm",  # no plate is wet, in a lead-in, exposed or developed
    "dark",  # the screen is black
    "lit",  # the screen is not
]
"""What can hold on the bench; of the large plate where nothing else is said."""

TIME_TO_READ = 6.0
"""A lesson on a strike that comes too early is on while at least so much is left, in seconds of the hand."""


def facts(bench: Bench, now: float, *, dark: bool = False) -> frozenset[Fact]:
    """Return all that holds at `now`; `dark`: the screen is black."""
    found: set[Fact] = {"dark" if dark else "lit"}
    on_bench = bench.on_bench
    if bench.rack:
        found.add("rack")
    if not any(cues.is_busy(state) or clocks.wet_clock_ends(state) is not None for state in on_bench):
        found.add("calm")
    found.add("two" if len(on_bench) > 1 else "one")
    state = bench.shown
    if state is None or not state.on_bench:
        return frozenset(found | {"after_fixing"} if bench.rack else found)
    if any(_in_bath(other) for other in on_bench if other is not state):
        found.add("elsewhere")
    found.add("new" if bench.large == NEW else "begun")
    found.update(_of_plate(state, now))
    return frozenset(found)


def is_overdue(state: PlateState, now: float) -> bool:
    """Return whether a stage that called has begun to call again: its patience is over."""
    since = large_place.calling_since(state, now)
    return since is not None and now >= since + max(state.stage.patience, cues.FIRST_OVERRUN)


def _of_plate(state: PlateState, now: float) -> Iterator[Fact]:
    ending, running = endings.of(state.stage), state.phase == "running"
    lens = endings.exposure_place(state.process)
    wet = clocks.wet_clock_ends(state) is not None
    left = questions.short_by(state, now) if running else None
    if lens is not None and state.index < lens:
        yield "lens_ahead"
    if state.plan is not None:
        yield "steps" if state.plan.steps else "timed"
    if ending.opens_lens and state.phase == "ready":
        yield "lens_ready"
    if ending.opens_lens and running:
        yield "lens_open"
    window = state.process.wet_window
    if window is not None and state.stage.name == window.to and state.phase == "ready":
        yield "developer_ready"
    if running and wet and not ending.opens_lens:
        yield "draining"
    if running and not wet and not ending.clears and clocks.zero(state) is None:
        yield "free"
    if left is not None and left > TIME_TO_READ * state.pace:
        yield "early"
    if _in_bath(state):
        yield "bath"
        if large_place.calling_since(state, now) is not None:
            yield "bath_calls"
    if ending.clears and running and state.cleared_at is None:
        yield "clearing"
    if _is_fixed(state):
        yield "after_fixing"
    if repeats.repeat_of(state.stage) is not None and state.stage.wash is not None and left is not None:
        yield "washing"


def _in_bath(state: PlateState) -> bool:
    window = state.process.wet_window
    return window is not None and state.stage.name == window.from_ and state.phase == "running"


def _is_fixed(state: PlateState) -> bool:
    """Whether the plate stands behind its fixer, or in a process without one behind its exposure."""
    stages = state.process.stages
    fixers = [place for place, stage in enumerate(stages) if endings.of(stage).clears]
    last = fixers[-1] if fixers else endings.exposure_place(state.process)
    return last is not None and state.index > last
