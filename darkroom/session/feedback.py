"""What answers an intent that was accepted: on the screen, by voice, and to the guided lessons."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from darkroom.bench import clocks, cues, endings, refusals, repeats
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench import light as lights
from darkroom.bench.all_plates import Bench
from darkroom.bench.intents import Decision, Intent
from darkroom.bench.state import PlateState
from darkroom.process.text.durations import show_elapsed, show_short

if TYPE_CHECKING:
    from darkroom.session.lesson import Happening

UNSEEN = "nobody saw the cap go on: how long was it open?"
"""Said where an exposure ended unseen; the answer is given in the menu."""
SILENT_ON_SCREEN = (
    want.Earlier,
    want.MarkNow,
    want.Undo,
    want.PutBack,
    want.Say,
    want.TellOpen,
    want.Abandon,
    want.SetPlan,
    want.Nudge,
    want.SetWetTime,
    want.JudgeExposure,
)
"""What changes little or nothing that is large on the screen: its answer is written out."""


def spoken(intent: Intent, state: PlateState, decision: Decision, now: float) -> tuple[str, tuple[str, ...]]:
    """Return what answers an accepted intent, as text and as what is spoken."""
    number = f"plate {state.number}" if state.number else "new plate"
    voice = cues.plate_words(state.number)
    match intent:
        case want.Undo() if not _has(decision, ev.Undone):
            return f"{number}: {refusals.ANSWERED_NO}", (voice, refusals.ANSWERED_NO)
        case want.Undo():
            stage_name = state.stage.shown
            return f"{number}: taken back, {stage_name} again", (voice, "taken back", state.stage.name)
        case want.PutBack():
            return f"{number}: put back, {state.stage.shown}", (voice, "put back", state.stage.name)
        case want.Earlier():
            return f"{number}: five seconds earlier", (voice, "5 seconds earlier")
        case want.MarkNow():
            return f"{number}: marked", (voice, "marked")
        case want.Say():
            return f"{number}: noted", (voice, "noted")
        case want.JudgeExposure():
            from darkroom.bench.next_plate import proposal_text

            said = intent.word or f"strip {intent.strip}"
            return f"next plate: {proposal_text([state]) or said}", (voice, "noted")
        case want.TellOpen():
            return f"{number}: noted, open for {show_short(intent.seconds)}", (voice, "noted")
        case want.Look():
            return f"{number}: {state.stage.shown}", (voice, state.stage.name)
        case want.Nudge() | want.SetPlan():
            from darkroom.bench.exposure import plan_text

            plan = f"exposure {plan_text(state.plan) or 'until you press'}"
            return plan, (plan,)
        case want.SetWetTime():
            stays = clocks.wet_window(state)
            known = f"wet time {show_elapsed(stays)}" if stays is not None else "wet time not known"
            return known + ("" if state.wet_time is not None else ", estimated"), (known,)
    events = [event for _, group in decision.events for event in group]
    if any(isinstance(event, ev.Cleared) for event in events):
        return f"{number}: cleared, as long again", (voice, "cleared")
    change = next((event for event in events if isinstance(event, ev.Acknowledged) and event.count), None)
    if change is not None and isinstance(intent, want.Go) and not _has(decision, ev.StageStarted):
        return _change_noted(state, change, number, voice)
    if any(isinstance(event, ev.PlateEnded) for event in events):
        how = "given up" if isinstance(intent, want.Abandon) else "finished"
        return f"{number}: {how}", (voice, how)
    if leaves_open(decision):
        return f"{number}: {UNSEEN}", (voice, UNSEEN)
    exposed_away = any(isinstance(event, ev.StageEnded) and event.how == "told" for event in events)
    if exposed_away:
        return f"{number}: exposed as planned, now back", (voice, state.stage.name)
    red_next = ("red next",) if lights.red_next(state, now) else ()
    return f"{number}: {state.stage.shown}", (voice, state.stage.name, *red_next)


def leaves_open(decision: Decision) -> bool:
    """True where an exposure ended unseen: what it got is asked for, on the screen too."""
    events = (event for _, lines in decision.events for event in lines)
    return any(isinstance(event, ev.StageEnded) and event.unseen for event in events)


def came_back(bench: Bench) -> str | None:
    """Return what is said when plates came back: "2 plates came back, plate 2 is wet"; None without any."""
    back = [state for state in bench.on_bench if state.plate]
    if not back:
        return None
    wet = sorted(state.number for state in back if clocks.wet_clock_ends(state) is not None)
    count = "1 plate came back" if len(back) == 1 else f"{len(back)} plates came back"
    return ", ".join([count, *(f"plate {number} is wet" for number in wet)])


def _has(decision: Decision, kind: type[Any]) -> bool:
    return any(isinstance(event, kind) for _, events in decision.events for event in events)


def _change_noted(
    state: PlateState, change: ev.Acknowledged, number: str, voice: str
) -> tuple[str, tuple[str, ...]]:
    """Return the answer to a change of the water that was noted: "plate 2: change 3 of 8 noted"."""
    count = repeats.call_count(state)
    of = "" if count is None else f" of {count}"
    return f"{number}: {change.what} {change.count}{of} noted", (
        voice,
        f"{change.what} {change.count}{of}",
        "noted",
    )


def happenings(before: Bench, intent: Intent, decision: Decision) -> list[Happening]:
    """Return what a decision was, in the words of the guided rehearsal."""
    if decision.refusal is not None:
        asks = (
            isinstance(event, ev.Refused) and event.asks for _, lines in decision.events for event in lines
        )
        return ["asked" if any(asks) else "refused"]
    if isinstance(intent, want.Undo) and not _has(decision, ev.Undone):
        return ["answered_no"]
    names: list[Happening] = []
    simple: dict[type[Any], Happening] = {
        want.Undo: "undone",
        want.PutBack: "put_back",
        want.Earlier: "earlier",
        want.MarkNow: "mark",
        want.Look: "looked",
        want.Nudge: "nudged",
        want.FromRack: "from_rack",
        want.Go: "strike",
    }
    name = simple.get(type(intent))
    if name is not None:
        names.append(name)
    if isinstance(intent, want.SetPlan) and intent.plan is not None and intent.plan.steps:
        names.append("steps_set")
    if isinstance(intent, want.ReadTemperature | want.ReadHumidity) and intent.origin == "hand":
        names.append("read")
    for plate, events in decision.events:
        names += [name for event in events for name in _of_event(before, plate, event)]
    return names


def _of_event(before: Bench, plate: str, event: ev.AnyEvent) -> Iterator[Happening]:
    """Return what one new line of a plate is, in the words of the guided rehearsal."""
    state = before.plates.get(plate)
    match event:
        case ev.PlateStarted():
            if any(before.plates):
                yield "new_plate"
        case ev.LeadInStarted():
            yield "lead_in"
        case ev.Cleared():
            yield "cleared"
        case ev.Racked():
            yield "racked"
        case ev.PlateEnded():
            yield "ended"
        case ev.Acknowledged() if event.count:
            yield "change_noted"
        case ev.StageEnded() if state is not None:
            if event.how == "short":
                yield "short"
            if endings.of(state.process.stage(event.stage)).opens_lens:
                yield "exposed"
                if state.plan is not None and state.plan.steps:
                    yield "steps_exposed"
        case ev.StageStarted():
            yield "started"
            window = None if state is None else state.process.wet_window
            if window is not None and window.to == event.stage:
                yield "developing"
