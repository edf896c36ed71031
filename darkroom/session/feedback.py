"""What answers an intent that was accepted: on the screen, by voice, and to the guided lessons."""

from __future__ import annotations

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
    from darkroom.session.lessons import Happening

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

            return f"next plate: {proposal_text([state]) or intent.word}", (voice, "noted")
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
    if any(isinstance(event, ev.StageEnded) and event.unseen for event in events):
        return f"{number}: {UNSEEN}", (voice, UNSEEN)
    exposed_away = any(isinstance(event, ev.StageEnded) and event.how == "told" for event in events)
    if exposed_away:
        return f"{number}: exposed as planned, now back", (voice, state.stage.name)
    red_next = ("red next",) if lights.red_next(state, now) else ()
    return f"{number}: {state.stage.shown}", (voice, state.stage.name, *red_next)


def came_back(bench: Bench) -> str | None:
    """Return what is said when plates came back: "2 plates came back, plate 2 is wet"; None without any."""
    back = [state for state in bench.on_bench if state.plate]
    if not back:
        return None
    wet = sorted(state.number for state in back if clocks.dry_instant(state) is not None)
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
        return ["refused"]
    names: list[Happening] = []
    simple: dict[type[Any], Happening] = {
        want.Undo: "undone",
        want.PutBack: "put_back",
        want.Earlier: "earlier",
        want.MarkNow: "mark",
        want.Look: "looked",
        want.Go: "strike",
    }
    name = simple.get(type(intent))
    if name is not None:
        names.append(name)
    for plate, events in decision.events:
        for event in events:
            match event:
                case ev.PlateStarted():
                    if any(plate_id for plate_id in before.plates):
                        names.append("new_plate")
                case ev.LeadInStarted():
                    names.append("lead_in")
                case ev.Cleared():
                    names.append("cleared")
                case ev.PlateEnded():
                    names.append("ended")
                case ev.StageEnded() if plate in before.plates:
                    if endings.of(before.plates[plate].process.stage(event.stage)).opens_lens:
                        names.append("exposed")
                case ev.StageStarted():
                    names.append("started")
                    window = before.plates[plate].process.wet_window if plate in before.plates else None
                    if window is not None and window.to == event.stage:
                        names.append("developing")
    return names
