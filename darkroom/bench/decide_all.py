"""What an intent does to the plates of the bench: events for one or several, or a refusal. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from darkroom.bench import (
    decide,
    decide_exposure,
    endings,
    exposure,
    large_place,
    next_plate,
    questions,
    refusals,
    undo,
)
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, STALE, Bench, apply_decision, developing
from darkroom.bench.bottle_change import with_changed_bottles
from darkroom.bench.fold import apply, begin
from darkroom.bench.intents import Cause, Decision, Intent
from darkroom.bench.large_place import JUST_CHANGED
from darkroom.bench.lines import Lines, Outcome, ask, change, refuse
from darkroom.bench.state import PlateState

TRIES = 4
"""So often an action is struck before it counts as refused: a change just made, two questions, the answer."""


def decide_intent(bench: Bench, intent: Intent, cause: Cause) -> Decision:
    """Return what the intent does: events, or a refusal with its reason. Never raises for a user."""
    return with_changed_bottles(bench, _decide(bench, intent, cause))


def _decide(bench: Bench, intent: Intent, cause: Cause) -> Decision:
    match intent:
        case want.Zero():
            return _plain(intent.plate, decide.at_zero(bench.plates[intent.plate], cause))
        case want.ReadTemperature() | want.ReadHumidity() | want.ClockDid():
            return Decision(events=_to_all(bench, intent, cause))
        case want.CameBack():
            return _plain(intent.plate, _come_back(bench.plates[intent.plate], intent, cause))
        case want.FromRack() | want.FinishUnvarnished():
            return _from_rack(bench, intent, cause)
        case want.TakeProposed():
            proposed = next_plate.proposal(state for plate, state in bench.plates.items() if plate != NEW)
            return Decision(refusal=refusals.NOTHING_PROPOSED if proposed is None else None)
        case want.ChangeBottle():
            return Decision(refusal=None if bench.bottles else refusals.NO_BOTTLES)
        case want.Look():
            return _look(bench, intent.direction)
    left = large_place.just_left(bench, cause.up) if isinstance(intent, want.Undo) else None
    if left is not None and left != bench.large:
        outcome = undo.undo(bench.plates[left], cause, any(map(developing, bench.on_bench)))
        decision = _outcome(left, outcome)
        back = outcome[1] is None and apply_decision(bench, decision).plates[left].on_bench
        return replace(decision, large=left if back else None)
    state = bench.shown
    if state is None:
        return Decision(refusal=refusals.NO_PLATE)
    return _on_large(bench, state, intent, cause)


def why_not(bench: Bench, intent: Intent, now: float) -> str | None:
    """Return the reason for which the intent would be refused at `now`, or None when it would be taken."""
    return decide_intent(bench, intent, Cause(at="", up=now)).refusal


def why_not_twice(bench: Bench, intent: Intent, now: float) -> str | None:
    """Return the reason for which the intent is refused even when it comes again a second later, and again.

    None when it is taken at `now` or then: a question, and a strike too soon after a change of the bench,
    are answered by striking again; the one may follow on the other.
    """
    pace = bench.shown.pace if bench.shown is not None else 1.0
    refusal = None
    for times in range(TRIES):
        decision = decide_intent(bench, intent, Cause(at="", up=now + times * JUST_CHANGED * pace))
        refusal = decision.refusal
        if refusal is None:
            return None
        bench = apply_decision(bench, decision)
    return refusal


def _on_large(bench: Bench, state: PlateState, intent: Intent, cause: Cause) -> Decision:
    key = bench.large or NEW
    # a strike from before the change, decided after it, was meant for another plate as well
    taken = bench.taken_at is not None and cause.up - bench.taken_at < JUST_CHANGED * state.pace
    if taken and isinstance(intent, want.Go | want.Undo | want.Earlier):
        if key == NEW:
            return Decision(refusal="new plate now")
        name = {want.Go: "go", want.Undo: "undo"}.get(type(intent), "earlier")
        return _outcome(key, refuse(state, cause, name, f"plate {state.number} now"))
    if isinstance(intent, want.Go) and (asked := _ask_for_hand(bench, state, cause)) is not None:
        return _outcome(key, asked)
    if key == NEW and isinstance(intent, want.Go):
        return _first_strike(state, intent, cause)
    answers_no = isinstance(intent, want.Undo) and questions.asked_lately(state, cause.up) is not None
    settable = isinstance(intent, want.Nudge | want.SetPlan | want.SetWetTime)
    if key == NEW and not answers_no and not settable:
        return Decision(refusal=refusals.NOT_BEGUN)
    match intent:
        case want.Go():
            return _outcome(key, decide.go(state, cause))
        case want.Undo():
            busy = any(developing(other) for other in bench.on_bench)
            return _outcome(key, undo.undo(state, cause, busy))
        case want.Earlier():
            return _outcome(key, undo.earlier(state, cause))
        case want.PutBack():
            return _outcome(key, undo.put_back(state, cause))
        case want.MarkNow():
            return _plain(key, change(state, cause, ev.Mark))
        case want.AddExposure():
            return _outcome(key, decide_exposure.add_exposure(state, cause, intent.seconds))
        case want.TellOpen():
            return _outcome(key, decide_exposure.tell_open(state, cause, intent.seconds))
        case want.Nudge():
            return _nudge(state, key, intent.direction, cause)
        case want.SetPlan():
            return _outcome(key, decide_exposure.set_plan(state, cause, intent))
        case want.SetWetTime():
            return _plain(key, change(state, cause, ev.WetTimeSet, seconds=intent.seconds))
        case want.Skip():
            return _outcome(key, decide.skip(state, cause))
        case want.Abandon():
            return _outcome(key, decide.abandon(state, cause, intent.reason))
        case want.JudgeExposure():
            if not next_plate.has_cleared(state):
                return Decision(refusal=refusals.NOT_CLEARED)
            said = {"exposure_word": intent.word, "best_strip": intent.strip}
            return _plain(key, change(state, cause, ev.Rating, **said))
        case want.Say():
            return _plain(key, change(state, cause, ev.Note, text=intent.text))
    return Decision(refusal="nothing to do")


def _ask_for_hand(bench: Bench, state: PlateState, cause: Cause) -> Outcome | None:
    """Return the question before a plate chosen by hand takes a strike while another waits, or None.

    The developer and an exposure that runs are not held back by it, and what is refused is not asked about.
    """
    waiting = large_place.waits_behind(bench, cause.up)
    if waiting is None or _cannot_wait(state) or decide.before_questions(state, cause) is not None:
        return None
    open_question = questions.is_open(state, cause.up)
    if open_question is not None and open_question.asks != "hand":
        return None
    if (asked := questions.just_asked(state, cause.up)) is not None:
        return (), asked
    if questions.is_answered(state, "hand", cause.up):
        return None
    return ask(state, cause, "hand", questions.hand_text(state, waiting))


def _cannot_wait(state: PlateState) -> bool:
    """True for a plate whose strike puts the developer on or takes it off, or begins or ends an exposure."""
    window = state.process.wet_window
    exposing = state.phase != "ready" and endings.of(state.stage).opens_lens
    return exposing or (window is not None and state.stage.name == window.to)


def _come_back(state: PlateState, intent: want.CameBack, cause: Cause) -> tuple[ev.AnyEvent, ...]:
    """Return the lines of a plate that comes back: first what its journal lost of its last cause."""
    lost = decide.lost_lines(state)
    lines = Lines(state, cause, last_n=lost[-1].n if lost else None)
    _add_resumed(lines, intent)
    return (*lost, *lines.lines)


def _plain(plate: str, lines: Sequence[ev.AnyEvent]) -> Decision:
    return Decision(events=((plate, tuple(lines)),) if lines else ())


def _outcome(plate: str, outcome: Outcome) -> Decision:
    lines, refusal = outcome
    return Decision(events=((plate, lines),) if lines else (), refusal=refusal)


def _first_strike(state: PlateState, intent: want.Go, cause: Cause) -> Decision:
    """The first strike of a plate writes `plate_started` with its first step, in one cause."""
    start = replace(
        state.start,
        n=1,
        at=cause.at,
        up=cause.up,
        plate=intent.plate,
        number=intent.number,
        plan=state.plan,
        aperture=state.aperture,
        scene=state.scene,
        wet_time=state.wet_time,
        temperatures={s: (t[-1][1], t[-1][2]) for s, t in state.temperatures.items()},
        humidity=(state.humidity[-1][1], state.humidity[-1][2]),
    )
    begun = begin(start, cause.up)
    before: list[ev.AnyEvent] = [start]
    lines = Lines(begun, cause)
    since = dict(intent.acknowledged)
    for stage in begun.process.stages:
        if stage.confirm and stage.confirm in since:
            lines.add(ev.Acknowledged, what=stage.confirm, stage=stage.name, since=since[stage.confirm])
    for line in lines.lines:
        begun = apply(begun, line)
    steps, refusal = decide.go(begun, cause)
    return Decision(
        events=((intent.plate, (*before, *lines.lines, *steps)),), refusal=refusal, large=intent.plate
    )


def _look(bench: Bench, direction: int) -> Decision:
    keys = [key for key, state in bench.plates.items() if state.on_bench]
    if not keys:
        return Decision(refusal=refusals.NO_PLATE)
    if bench.large not in keys:
        return Decision(large=keys[0])
    if len(keys) == 1:
        return Decision(refusal=refusals.ONLY_PLATE)
    return Decision(large=keys[(keys.index(bench.large) + direction) % len(keys)])


def _to_all(
    bench: Bench, intent: want.ReadTemperature | want.ReadHumidity | want.ClockDid, cause: Cause
) -> tuple[tuple[str, tuple[ev.AnyEvent, ...]], ...]:
    readings = []
    for key, state in bench.followed.items():
        lines = Lines(state, cause)
        match intent:
            case want.ReadTemperature():
                lines.add(ev.Temperature, source=intent.source, celsius=intent.celsius, from_=intent.origin)
            case want.ReadHumidity():
                lines.add(ev.Humidity, percent=intent.percent, from_=intent.origin)
            case want.ClockDid() if key != NEW:
                lines.add(ev.Clock, kind=intent.kind, seconds=intent.seconds)
        if lines.lines:
            readings.append((key, tuple(lines.lines)))
    return tuple(readings)


def _from_rack(bench: Bench, intent: want.FromRack | want.FinishUnvarnished, cause: Cause) -> Decision:
    state = bench.plates.get(intent.plate)
    if state is None or not state.racked:
        return Decision(refusal=refusals.NOT_RACKED if bench.rack else refusals.RACK_EMPTY)
    return_lines = _lines_of_return(bench, state, intent.back, cause)
    for line in return_lines:
        state = apply(state, line)
    rinsed = cause.up - state.since
    if isinstance(intent, want.FromRack) and rinsed < (least := endings.protected_least(state)):
        return Decision(refusal=decide.more_text(state, least - rinsed))
    lines = Lines(state, cause)
    decide.end_stage(lines, state, cause.up, "strike")
    if isinstance(intent, want.FinishUnvarnished):
        ended = [line for line in lines.lines if isinstance(line, ev.StageEnded)][:1]
        finish = Lines(state, cause)
        finish.lines = [*ended]
        finish.n = state.last_n + len(ended)
        finish.add(ev.PlateEnded, how="unvarnished")
        return _plain(intent.plate, (*return_lines, *finish.lines))
    return Decision(events=((intent.plate, (*return_lines, *lines.lines)),), large=intent.plate)


def _lines_of_return(
    bench: Bench, state: PlateState, back: want.CameBack | None, cause: Cause
) -> tuple[ev.AnyEvent, ...]:
    """What a plate that was handed over missed: how long it was away, and the latest readings."""
    if state.plate not in bench.handed_over:
        return ()
    lines = Lines(state, cause)
    if back is not None:
        _add_resumed(lines, back)
    for source, known in bench.temperatures.items():
        last = state.temperatures.get(source)
        if cause.up - known.up < STALE and (not last or last[-1][1:] != (known.value, known.origin)):
            lines.add(ev.Temperature, source=source, celsius=known.value, from_=known.origin)
    damp = bench.humidity
    if damp and cause.up - damp.up < STALE and state.humidity[-1][1:] != (damp.value, damp.origin):
        lines.add(ev.Humidity, percent=damp.value, from_=damp.origin)
    return tuple(lines.lines)


def _add_resumed(lines: Lines, back: want.CameBack) -> None:
    lines.add(ev.Resumed, gap=back.gap, by=back.by, boot=back.boot)


def _nudge(state: PlateState, key: str, direction: int, cause: Cause) -> Decision:
    ready = endings.of(state.stage).opens_lens and state.phase == "ready"
    if not ready and key != NEW:
        return Decision(refusal=refusals.NOT_READY)
    plan = exposure.nudged(state.plan, direction)
    if plan is None:
        return Decision(refusal=refusals.NO_SINGLE_TIME)
    return _outcome(key, decide_exposure.set_plan(state, cause, want.SetPlan(plan)))
