"""Which sounds are due when: the whole set for the time ahead, from the state as it stands. Pure.

Automatic zeros are lived through in advance, so the set holds what comes after them too. Nothing
here plays a sound; equal cues of two sets are the same sound.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal

import msgspec

from darkroom.bench import clocks, endings, exposure, temperatures
from darkroom.bench import light as lights
from darkroom.bench.all_plates import Bench, developing
from darkroom.bench.decide import at_zero
from darkroom.bench.fold import apply
from darkroom.bench.intents import Cause
from darkroom.bench.state import PlateState
from darkroom.process.model import Process, Stage

CueName = Literal[
    "accepted", "refused", "pip", "start", "end", "overrun", "step", "wet_warning", "back_now",
    "past_wet", "safelight", "room_light", "not_saved", "saved_again", "say",
]  # fmt: skip

AHEAD = 30.0
PIPS = 5
SHORT = 10.0
"""A stage shorter than this has no pips before its end, in seconds."""
AFTER_BUSY = 1.0
QUIET = 60.0
"""For so long at most the calls of other plates stay silent while one is exposed or developed."""
WET_CALLS = (120.0, 30.0)
OVERRUN_EVERY = ((120.0, 20.0, 1), (300.0, 15.0, 2), (math.inf, 10.0, 3))
"""(until this overrun, a call every so many seconds, at this urgency)."""
FIRST_OVERRUN = 10.0
COUNTED = 60
"""In the developer each second is counted aloud up to this one, then every fifth."""


class Cue(msgspec.Struct, frozen=True, kw_only=True):
    """One sound due at `up` (seconds on the boot clock).

    `say` are the words spoken after it, each a name of the spoken set ("two", "drain", a number
    as "12"); a cue called "say" has words and no sound of its own. `plate` is the number it is for.
    Equal cues of two sets are the same sound.
    """

    up: float
    name: CueName
    plate: int | None = None
    say: tuple[str, ...] = ()
    urgency: int = 0


class Stretch(msgspec.Struct, frozen=True):
    """A plate's state and the instants between which it holds."""

    state: PlateState
    begin: float
    end: float


def stretches(state: PlateState, now: float, until: float) -> list[Stretch]:
    """Return the plate's states from `now` to `until`, lived through its automatic zeros."""
    lived: list[Stretch] = []
    begin = now
    for _ in range(64):
        zero = clocks.automatic_zero(state)
        if zero is None or zero > until:
            break
        lived.append(Stretch(state, begin, max(zero, begin)))
        lines = at_zero(state, Cause(at="", up=zero))
        for line in lines:
            state = apply(state, line)
        begin = max(zero, begin)
    lived.append(Stretch(state, begin, math.inf))
    return lived


def cues(bench: Bench, now: float, ahead: float = AHEAD) -> tuple[Cue, ...]:
    """Return every cue due after `now` and up to `ahead` seconds later, in order."""
    until = now + ahead
    stretches_of = {
        key: stretches(state, now, until) for key, state in bench.plates.items() if state.on_bench
    }
    due_cues: list[Cue] = []
    for key, own in stretches_of.items():
        busy = [span for other, others in stretches_of.items() if other != key for span in _busy(others)]
        for stretch in own:
            for cue in _plate_cues(stretch, now):
                began = stretch.begin if stretch is not own[0] else -math.inf
                later = _deferred(cue, busy) if began - 1e-6 <= cue.up <= stretch.end + 1e-6 else None
                if later is not None:
                    due_cues.append(later)
    due_cues += _light_cues(stretches_of, now, until)
    due = {cue for cue in due_cues if now < cue.up <= until}
    return tuple(sorted(due, key=lambda cue: (cue.up, cue.name, cue.plate or 0)))


def voice(number: int) -> str:
    """Return the spoken name of a plate's number: its last two digits."""
    return str(number % 100 or 100)


def word(stage: Stage) -> str:
    """Return the spoken name of a stage: its name in the process file."""
    return stage.name


def call(process: Process, stage: Stage) -> str:
    """Return the name of what is said at the zero of a stage."""
    window = process.wet_window
    if window is not None and stage.name == window.from_:
        return "ready to lift"
    if window is not None and stage.name == window.to:
        return "water"
    return stage.name


def _busy(lived: Iterable[Stretch]) -> Iterator[tuple[float, float]]:
    """The spans in which a plate is in a lead-in, exposed or developed: others call more softly.

    Spans that have just ended count too: what they held back is called right after them.
    """
    lived = list(lived)
    for done in lived[0].state.done[-2:]:
        stage = lived[0].state.process.stage(done.stage)
        window = lived[0].state.process.wet_window
        if endings.of(stage).opens_lens or (window is not None and window.to == stage.name):
            yield done.started, done.ended
    for stretch in lived:
        state = stretch.state
        exposing = state.phase == "running" and endings.of(state.stage).opens_lens
        if state.phase == "lead_in" or exposing or developing(state):
            yield state.since, stretch.end


def _deferred(cue: Cue, busy: list[tuple[float, float]]) -> Cue | None:
    """Hold a call of another plate back while one is busy, for 60 s at most; wet calls never wait."""
    if cue.name not in ("end", "overrun", "pip", "say", "step"):
        return cue
    for begin, end in busy:
        if begin <= cue.up < min(end, begin + QUIET) or (cue.name == "end" and begin <= cue.up < end):
            if cue.name != "end":
                return None
            return msgspec.structs.replace(cue, up=min(end + AFTER_BUSY, cue.up + QUIET))
    return cue


def _plate_cues(stretch: Stretch, now: float) -> Iterator[Cue]:
    state = stretch.state
    number = state.number
    zero = clocks.zero(state)
    if state.phase == "lead_in" and zero is not None:
        yield from _pips(zero, state.lead_seconds, number)
        yield Cue(up=zero, name="start", plate=number, say=(word(state.stage),))
    elif state.phase == "running" and not state.held:
        yield from _running(state, zero, stretch, now)
    yield from _wet(state, number)


def _running(state: PlateState, zero: float | None, stretch: Stretch, now: float) -> Iterator[Cue]:
    number, stage, ending = state.number, state.stage, endings.of(state.stage)
    count = developing(state)
    if count:
        yield from _counting(state, now)
    for at in exposure.step_instants(state.plan, state.since) if ending.opens_lens else ():
        yield Cue(up=at, name="step", plate=number)
    if zero is None:
        usual = temperatures.usual(state) if ending.has_usual else None
        if usual is not None:
            spoken = (voice(number), word(stage))
            for times in (1, 2):
                yield Cue(up=state.since + times * usual[1], name="say", plate=number, say=spoken)
        return
    start = state.cleared_at or (state.parts[-1].started if state.parts else state.since)
    if zero - start >= SHORT and not count:
        yield from _pips(zero, zero - start, number)
    spoken = (voice(number), call(state.process, stage))
    yield Cue(up=zero, name="end", plate=number, say=spoken)
    if ending.calls:
        yield from _overrun(stage, zero, number, stretch, now)


def _pips(zero: float, whole: float, number: int) -> Iterator[Cue]:
    for second in range(min(PIPS, int(whole + 1e-6)), 0, -1):
        yield Cue(up=zero - second, name="pip", plate=number)


def _counting(state: PlateState, now: float) -> Iterator[Cue]:
    """The voice counts up in the developer, from what is already past."""
    elapsed = max(0, math.floor(now - state.since))
    zero = clocks.zero(state)
    for second in range(elapsed, elapsed + int(AHEAD) + 2):
        if second == 0 or (second > COUNTED and second % 5):
            continue
        at = state.since + second
        if zero is not None and abs(at - zero) < 0.5:
            continue
        yield Cue(up=at, name="say", plate=state.number, say=(str(second),))


def _overrun(stage: Stage, zero: float, number: int, stretch: Stretch, now: float) -> Iterator[Cue]:
    """The repeating call after a zero: silent while patience lasts, then more and more urgent."""
    begin = zero + max(stage.patience, FIRST_OVERRUN)
    at, horizon = begin, now + 2 * AHEAD
    while at <= horizon:
        past = at - begin
        every, urgency = next((every, u) for limit, every, u in OVERRUN_EVERY if past < limit)
        if at > now:
            yield Cue(up=at, name="overrun", plate=number, urgency=urgency, say=(voice(number), stage.name))
        at += every


def _wet(state: PlateState, number: int) -> Iterator[Cue]:
    dry = clocks.dry_instant(state)
    if dry is None:
        return
    say = voice(number)
    reserve = clocks.back_reserve(state)
    for left in WET_CALLS:
        if left > reserve + 5:
            yield Cue(
                up=dry - left,
                name="wet_warning",
                plate=number,
                say=(say, "wet two minutes" if left > 60 else "wet thirty seconds"),
            )
    yield Cue(up=dry - reserve, name="back_now", plate=number, say=(say, "back now"))
    yield Cue(up=dry, name="past_wet", plate=number, say=(say, "past wet"))


def _light_cues(stretches_of: dict[str, list[Stretch]], now: float, until: float) -> Iterator[Cue]:
    """The turns of the bench's light, foretold along the states each plate will be in."""
    instants = {
        at
        for own in stretches_of.values()
        for stretch in own
        for at in (stretch.begin, *lights.turns(stretch.state))
    }

    def at(instant: float) -> str:
        states = [
            next(stretch.state for stretch in reversed(own) if stretch.begin <= instant or stretch is own[0])
            for own in stretches_of.values()
        ]
        return lights.bench_light(states, instant)

    for instant in sorted(instants):
        if not now < instant <= until:
            continue
        before, after = at(instant - 1e-3), at(instant)
        if before != after and after == "red":
            yield Cue(up=instant, name="safelight", say=("safelight only",))
        elif before != after and after == "white":
            yield Cue(up=instant, name="room_light", say=("room light is safe",))


def light_cue(before: Bench, after: Bench, now: float) -> Cue | None:
    """Return the cue for a turn of the light that a strike caused, or None."""
    was, is_ = lights.bench_light(before.on_bench, now), lights.bench_light(after.on_bench, now)
    if is_ in (was, "covered"):
        return None
    if is_ == "red":
        return Cue(up=now, name="safelight", say=("safelight only",))
    return Cue(up=now, name="room_light", say=("room light is safe",))
