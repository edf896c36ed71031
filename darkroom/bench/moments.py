"""What the hand does at the moments of a stage: the verbs and sentences of its process file. Pure."""

from __future__ import annotations

from typing import Literal

from darkroom.bench import endings
from darkroom.process.model import Process, Stage

Moment = Literal["ready", "running", "due"]

LAST = "done"
"""The verb when the last stage is due, where its file names none."""


def verb_of_lead_in(process: Process, stage: Stage) -> str:
    """Return what the hand does at the end of the lead-in: "uncap", "pour", else the stage's large name."""
    return _own_verb_of_lead_in(process, stage) or stage.large


def spoken_verb_of_lead_in(process: Process, stage: Stage) -> str:
    """Return the same as it is spoken: where there is no verb, the stage's name in its file."""
    return (_own_verb_of_lead_in(process, stage) or stage.name).lower()


def verb_when_due(process: Process, stage: Stage) -> str:
    """Return what the hand does when the stage calls: "lift", "flood", "cap", else the next stage's name."""
    following = _after(process, stage)
    return _own_verb_when_due(process, stage) or (following.large if following is not None else LAST)


def spoken_verb_when_due(process: Process, stage: Stage) -> str:
    """Return the same as it is spoken: where there is no verb, the next stage's name in its file."""
    following = _after(process, stage)
    return (_own_verb_when_due(process, stage) or (following.name if following is not None else LAST)).lower()


def _after(process: Process, stage: Stage) -> Stage | None:
    place = process.index(stage.name) + 1
    return process.stages[place] if place < len(process.stages) else None


def _own_verb_of_lead_in(process: Process, stage: Stage) -> str | None:
    if stage.verb is not None and stage.verb.lead_in is not None:
        return stage.verb.lead_in
    if endings.of(stage).opens_lens:
        return "uncap"
    window = process.wet_window
    return "pour" if window is not None and stage.name == window.to else None


def _own_verb_when_due(process: Process, stage: Stage) -> str | None:
    if stage.verb is not None and stage.verb.due is not None:
        return stage.verb.due
    window = process.wet_window
    if window is not None and stage.name == window.from_:
        return "lift"
    if window is not None and stage.name == window.to:
        return "flood"
    if endings.of(stage).opens_lens:
        return "cap"
    return None


def hint_at(stage: Stage, moment: Moment) -> str | None:
    """Return the file's sentence for a moment of the stage, or None where it says nothing.

    A single sentence is said while the stage stands ready and while it runs.
    """
    if stage.hints is None:
        return stage.hint if moment != "due" else None
    return {"ready": stage.hints.ready, "running": stage.hints.running, "due": stage.hints.due}[moment]
