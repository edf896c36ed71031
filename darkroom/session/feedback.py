"""What answers an intent that was accepted: on the screen, by voice, and to the guided lessons."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from darkroom.bench import cues, endings
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench import light as lights
from darkroom.bench.all_plates import Bench
from darkroom.bench.intents import Decision, Intent
from darkroom.bench.state import PlateState

if TYPE_CHECKING:
    from darkroom.session.lessons import Happening

SILENT_ON_SCREEN = (want.Earlier, want.MarkNow, want.Undo, want.PutBack, want.Say, want.JudgeExposure)
"""What changes little or nothing that is large on the screen: its answer is written out."""


def spoken(intent: Intent, state: PlateState, decision: Decision, now: float) -> tuple[str, tuple[str, ...]]:
    """Return what answers an accepted intent, as text and as what is spoken."""
    number = f"plate {state.number}" if state.number else "new plate"
    voice = cues.plate_words(state.number)
    match intent:
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
        case want.Look():
            return f"{number}: {state.stage.shown}", (voice, state.stage.name)
        case want.Nudge() | want.SetPlan():
            from darkroom.bench.exposure import plan_text

            plan = f"exposure {plan_text(state.plan) or 'until you press'}"
            return plan, (plan,)
    events = [event for _, group in decision.events for event in group]
    if any(isinstance(event, ev.Cleared) for event in events):
        return f"{number}: cleared, as long again", (voice, "cleared")
    if any(isinstance(event, ev.PlateEnded) for event in events):
        return f"{number}: finished", (voice, "finished")
    exposed_away = any(isinstance(event, ev.StageEnded) and event.how == "told" for event in events)
    if exposed_away:
        return f"{number}: exposed as planned, now back", (voice, state.stage.name)
    red_next = ("red next",) if lights.red_next(state, now) else ()
    return f"{number}: {state.stage.shown}", (voice, state.stage.name, *red_next)


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
