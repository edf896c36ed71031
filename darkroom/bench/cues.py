"""Which sounds are due when: the whole set for the time ahead, from the state as it stands. Pure.

Automatic zeros are lived through in advance, so the set holds what comes after them too. Nothing
here plays a sound; equal cues of two sets are the same sound.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal

import msgspec

from darkroom.bench import clocks, endings, exposure, moments, repeats, temperatures
from darkroom.bench import light as lights
from darkroom.bench.all_plates import Bench, developing
from darkroom.bench.state import PlateState
from darkroom.bench.stretches import Stretch, stretches
from darkroom.process.model import Stage
from darkroom.process.text.durations import say_duration

CueName = Literal[
    "accepted", "refused", "pip", "start", "end", "overrun", "step", "wet_warning", "back_now",
    "past_wet", "safelight", "room_light", "not_saved", "saved_again", "say", "repeat", "caution",
]  # fmt: skip

AHEAD = 30.0
PIPS = 5
SHORT = 10.0
"""A stage shorter than this has no pips before its end, in seconds."""
AFTER_BUSY = 1.0
QUIET = 60.0
"""For so long at most the calls of other plates stay silent while one is exposed or developed."""
WET_CALLS = ((120.0, "wet 2 minutes"), (30.0, "wet 30 seconds"))
"""(wet time left, what is said then)."""
TOGETHER = 5.0
"""A wet call this near to "back now" is said with it, in seconds."""
AT_ONCE = 1.0
"""Where the way back takes all of the wet time, "back now" comes so many seconds after the bath."""
ASSUMED_AFTER = 3.0
"""So long after the bath it is said that the wet time is assumed, in seconds."""
OVERRUN_EVERY = ((120.0, 20.0, 1), (300.0, 15.0, 2), (math.inf, 10.0, 3))
"""(until this overrun, a call every so many seconds, at this urgency)."""
FIRST_OVERRUN = 10.0
COUNTED = 60
"""In the developer each second is counted aloud up to this one, then every fifth."""
CALL_TAKES = 3.0
"""So long after the developer's zero its call is said, and no second is counted."""
AFTER_CALL = 3.0
"""Overrun calls of a plate this near to a call of it that waited are left out, in seconds."""
WAITS = frozenset({"end", "say"})
"""The calls of another plate that wait while one is exposed or developed; its other cues are left out."""
LEFT_OUT = frozenset({"overrun", "pip", "step", "repeat"})


class Cue(msgspec.Struct, frozen=True, kw_only=True):
    """One sound due at `up` (seconds on the boot clock).

    `say` are the texts spoken after it ("plate 2", "drain"); for the first of them that has a word without a
    recording, the first of `instead` that has none is spoken. A cue called "say", "repeat" or "caution" has
    words and no sound of its own; a "repeat" is left out while anything is said, a "caution" waits for a gap.
    `plate` is the number it is for. Equal cues of two sets are the same sound.
    """

    up: float
    name: CueName
    plate: int | None = None
    say: tuple[str, ...] = ()
    urgency: int = 0
    instead: tuple[str, ...] = ()


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
            began = stretch.begin if stretch is not own[0] else -math.inf
            own_cues = [c for c in _plate_cues(stretch, now) if began - 1e-6 <= c.up <= stretch.end + 1e-6]
            due_cues += own_cues if is_busy(stretch.state) else _deferred(own_cues, stretch.state, busy)
    gone = {key: [Stretch(state, now, math.inf)] for key, state in bench.plates.items() if not state.on_bench}
    due_cues += _light_cues({**stretches_of, **gone}, now, until)
    due = {cue for cue in due_cues if now < cue.up <= until}
    return tuple(sorted(due, key=lambda cue: (cue.up, cue.name, cue.plate or 0)))


def voice(number: int) -> str:
    """Return the spoken name of a plate's number: its last two digits."""
    return str(number % 100 or 100)


def plate_words(number: int) -> str:
    """Return what is spoken for a plate: "plate 2", or "new plate" before its first strike."""
    return f"plate {voice(number)}" if number else "new plate"


def is_busy(state: PlateState) -> bool:
    """True while a plate is in a lead-in, exposed or developed: the calls of others wait for it."""
    exposing = state.phase == "running" and endings.of(state.stage).opens_lens
    return state.phase == "lead_in" or exposing or developing(state)


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
        if is_busy(stretch.state):
            yield stretch.state.since, stretch.end


def _deferred(own: list[Cue], state: PlateState, busy: list[tuple[float, float]]) -> list[Cue]:
    """Hold the calls of a plate back while another is busy, for a minute or its stage's shorter patience.

    The call of its zero, and what is only said, waits; pips, steps and repeated calls are left out. Wet calls
    never wait.
    """
    quiet = min(QUIET, state.stage.patience or QUIET)
    zero = clocks.zero(state)
    heard: list[Cue] = []
    released = -math.inf
    for cue in sorted(own, key=lambda cue: cue.up):
        since = zero if cue.name == "overrun" and zero is not None else cue.up
        until = max((min(end + AFTER_BUSY, since + quiet) for begin, end in busy if begin <= cue.up < end),
                    default=-math.inf)  # fmt: skip
        if cue.name in WAITS and until > cue.up:
            heard.append(msgspec.structs.replace(cue, up=until))
            released = until if cue.name == "end" else released
        elif not (cue.name in LEFT_OUT and (until > cue.up or abs(cue.up - released) < AFTER_CALL)):
            heard.append(cue)
    return heard


def _plate_cues(stretch: Stretch, now: float) -> Iterator[Cue]:
    state = stretch.state
    number, stage = state.number, state.stage
    zero = clocks.zero(state)
    if state.phase == "lead_in" and zero is not None:
        yield from _pips(zero, state.lead_seconds, number)
        verb = moments.spoken_verb_of_lead_in(state.process, stage)
        yield Cue(up=zero, name="start", plate=number, say=(verb,), instead=(stage.name,))
    elif state.phase == "running" and not state.held:
        yield from _running(state, zero, stretch, now)
    yield from _wet(state, number)


def _running(state: PlateState, zero: float | None, stretch: Stretch, now: float) -> Iterator[Cue]:
    number, stage, ending = state.number, state.stage, endings.of(state.stage)
    spoken = (plate_words(number), moments.spoken_verb_when_due(state.process, stage))
    instead = (stage.name,)
    count = developing(state)
    if count:
        yield from _counting(state, now)
    yield from _repeated(state, now)
    for at in exposure.step_instants(state.plan, state.since) if ending.opens_lens else ():
        yield Cue(up=at, name="step", plate=number)
    if zero is None:
        over = temperatures.over_usual(state) if ending.has_usual else None
        if over is not None:
            said = (plate_words(number), stage.name) if ending.clears else spoken
            for times in (1, 2):
                at = state.since + times * over
                yield Cue(up=at, name="say", plate=number, say=said, instead=instead)
        return
    start = state.cleared_at or (state.parts[-1].started if state.parts else state.since)
    if zero - start >= SHORT and not count:
        yield from _pips(zero, zero - start, number)
    yield Cue(up=zero, name="end", plate=number, say=spoken, instead=instead)
    if ending.calls:
        for at, urgency in _overrun(stage, zero, now):
            yield Cue(up=at, name="overrun", plate=number, urgency=urgency, say=spoken, instead=instead)


def _pips(zero: float, whole: float, number: int) -> Iterator[Cue]:
    for second in range(min(PIPS, int(whole + 1e-6)), 0, -1):
        yield Cue(up=zero - second, name="pip", plate=number)


def _counting(state: PlateState, now: float) -> Iterator[Cue]:
    """The voice counts up in the developer, from what is already past.

    The first second is left to the verb of a lead-in, and the first three after the zero to its call.
    """
    first = max(2 if state.stage.lead_in else 1, math.floor(now - state.since))
    zero = clocks.zero(state)
    for second in range(first, first + int(AHEAD) + 2):
        if second > COUNTED and second % 5:
            continue
        at = state.since + second
        if zero is not None and zero - 0.5 < at < zero + CALL_TAKES:
            continue
        yield Cue(up=at, name="say", plate=state.number, say=(str(second),))


def _repeated(state: PlateState, now: float) -> Iterator[Cue]:
    """What comes again within the stage: "plate 2, change, 3 of 8"."""
    repeat, count = repeats.repeat_of(state.stage), repeats.call_count(state)
    if repeat is None:
        return
    for k, at in repeats.call_instants(state, now, now + 2 * AHEAD):
        how_often = f"{k + 1} of {count}" if count is not None else str(k + 1)
        say = (plate_words(state.number), repeat.verb.lower(), how_often)
        yield Cue(up=at, name="repeat", plate=state.number, say=say, instead=(state.stage.name,))


def _overrun(stage: Stage, zero: float, now: float) -> Iterator[tuple[float, int]]:
    """The repeating call after a zero: silent while patience lasts, then more and more urgent."""
    begin = zero + max(stage.patience, FIRST_OVERRUN)
    gone, horizon = now - begin, now + 2 * AHEAD
    past = 0.0
    for limit, every, urgency in OVERRUN_EVERY:
        if gone > past:  # a plate may lie overdue for years: what is past is not counted through
            past += every * math.floor((min(gone, limit) - past) / every)
        for _ in range(math.ceil(3 * AHEAD / every)):
            if past >= limit or begin + past > horizon:
                break
            if begin + past > now:
                yield begin + past, urgency
            past += every


def _wet(state: PlateState, number: int) -> Iterator[Cue]:
    """The calls of the wet clock, each that lies after the bath; two that fall together are said as one."""
    dry = clocks.wet_clock_ends(state)
    if dry is None or state.wet_from is None:
        return
    plate, reserve = plate_words(number), clocks.back_reserve(state)
    with_back: tuple[str, ...] = ()
    for left, text in WET_CALLS:
        if dry - left <= state.wet_from:
            continue
        if abs(left - reserve) < TOGETHER:
            with_back = (text,)
        else:
            yield Cue(up=dry - left, name="wet_warning", plate=number, say=(plate, text))
    back = max(dry - reserve, min(state.wet_from + AT_ONCE, dry - AT_ONCE))
    yield Cue(up=back, name="back_now", plate=number, say=(plate, "back now", *with_back))
    yield Cue(up=dry, name="past_wet", plate=number, say=(plate, "past wet"))
    if clocks.wet_is_assumed(state):
        say = (plate, f"wet {say_duration(round(dry - state.wet_from))}", "assumed")
        yield Cue(up=state.wet_from + ASSUMED_AFTER, name="say", plate=number, say=say)


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
    was = lights.bench_light(before.plates.values(), now)
    is_ = lights.bench_light(after.plates.values(), now)
    if is_ in (was, "covered"):
        return None
    if is_ == "red":
        return Cue(up=now, name="safelight", say=("safelight only",))
    return Cue(up=now, name="room_light", say=("room light is safe",))
