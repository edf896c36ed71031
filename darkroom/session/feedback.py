"""What answers an intent that was accepted: on the screen, by voice, and to the guided lessons."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from darkroom.bench import cues as sounds
from darkroom.bench import endings
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench
from darkroom.bench.intents import Decision, Intent
from darkroom.bench.state import PlateState

if TYPE_CHECKING:
    from darkroom.session.lessons import Happening

SILENT_ON_SCREEN = (want.Earlier, want.MarkNow, want.Undo, want.PutBack, want.Say)
"""What changes little or nothing that is large on the screen: its answer is written out."""


def spoken(intent: Intent, state: PlateState, decision: Decision) -> tuple[str, tuple[str, ...]]:
    """Return what answers an accepted intent, as text and as names of the spoken set."""
    number = f"plate {state.number}" if state.number else "new plate"
    voice = sounds.voice(state.number)
    match intent:
        case want.Undo():
            step = state.stage.shown
            return f"{number}: taken back, {step} again", (voice, "undone", state.stage.name)
        case want.PutBack():
            return f"{number}: put back, {state.stage.shown}", (voice, state.stage.name)
        case want.Earlier():
            return f"{number}: five seconds earlier", (voice,)
        case want.MarkNow():
            return f"{number}: marked", (voice,)
        case want.Say():
            return f"{number}: noted", (voice,)
        case want.Look():
            return f"{number}: {state.stage.shown}", (voice, state.stage.name)
        case want.Nudge() | want.SetPlan():
            from darkroom.bench.exposure import plan_text

            return f"exposure {plan_text(state.plan) or 'until a strike'}", ()
    lines = [line for _, group in decision.events for line in group]
    if any(isinstance(line, ev.Cleared) for line in lines):
        return f"{number}: cleared, as long again", (voice, "cleared")
    if any(isinstance(line, ev.PlateEnded) for line in lines):
        return f"{number}: finished", (voice, "finished")
    told = any(isinstance(line, ev.StageEnded) and line.how == "told" for line in lines)
    if told:
        return f"{number}: exposed as planned, now back", (voice, state.stage.name)
    return f"{number}: {state.stage.shown}", (voice, state.stage.name)


def happenings(before: Bench, intent: Intent, decision: Decision) -> list[Happening]:
    """Return what a decision was, in the words of the guided rehearsal."""
    if decision.refusal is not None:
        return ["refused"]
    found: list[Happening] = []
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
        found.append(name)
    for plate, lines in decision.events:
        for line in lines:
            match line:
                case ev.PlateStarted():
                    if any(key for key in before.plates):
                        found.append("new_plate")
                case ev.LeadInStarted():
                    found.append("lead_in")
                case ev.Cleared():
                    found.append("cleared")
                case ev.PlateEnded():
                    found.append("ended")
                case ev.StageEnded() if plate in before.plates:
                    if endings.of(before.plates[plate].process.stage(line.stage)).opens_lens:
                        found.append("exposed")
                case ev.StageStarted():
                    found.append("started")
                    window = before.plates[plate].process.wet_window if plate in before.plates else None
                    if window is not None and window.to == line.stage:
                        found.append("developing")
    return found
