"""What the hand is to do at an instant: the moment of the stage, the large word, one sentence. Pure.

The process file's own verbs and sentences are asked of `moments`; what the file leaves out is said here, so
that it is true at that very moment.
"""

from __future__ import annotations

import re

import msgspec

from darkroom.bench import (
    clocks,
    endings,
    exposure,
    exposure_hints,
    moments,
    questions,
    repeats,
    temperatures,
)
from darkroom.bench.moments import Moment
from darkroom.bench.state import PlateState
from darkroom.late_patterns import late_pattern
from darkroom.process.text.durations import show_elapsed

DUE_BEFORE = 5.0
"""A stage that goes on by itself calls for the hand so many seconds before its zero."""
DUE_AFTER = 2.0
"""So long its verb stands on after the zero, in seconds."""
_ASKS_FOR_THE_STRIKE = late_pattern(r"\b(strike|press)\b", re.IGNORECASE)
_AT_ZERO = late_pattern(r"\bat (zero|the call)\b", re.IGNORECASE)


class LargeWord(msgspec.Struct, frozen=True):
    """The word for the large letters; `due`: it is a verb, what the hand does now or at the zero."""

    text: str
    due: bool


def moment(state: PlateState, now: float) -> Moment:
    """Return the moment of the stage the plate stands in: ready (its lead-in too), running, or due.

    A stage that calls is due from its zero, one that goes on by itself in its last 5 s, one that ends by eye
    from the upper end of its usual range.
    """
    if state.phase in ("ready", "lead_in"):
        return "ready"
    if state.phase != "running" or state.racked:
        return "running"
    ending, zero = endings.of(state.stage), clocks.zero(state)
    if zero is None:
        return "due" if not ending.clears and _over_usual(state, now) else "running"
    if now >= zero:
        return "due"
    if not ending.goes_on:
        return "running"
    if ending.opens_lens and exposure_hints.capped_since(state, now) is not None:
        return "running"
    began = state.parts[-1].started if state.parts else state.since
    early = max(DUE_BEFORE, min(DUE_BEFORE * state.pace, (zero - began) / 2))
    return "due" if now >= _next_capping(state, now, zero) - early else "running"


def large_word(state: PlateState, now: float) -> LargeWord:
    """Return the verb while the hand is due, what is asked, the stage, or what became of the plate."""
    stage, process = state.stage, state.process
    if state.phase == "ended":
        return LargeWord("finished" if _how(state) != "abandoned" else "given up", False)
    asked = questions.is_open(state, now)
    if asked is not None and asked.asks == "hand":
        return LargeWord(questions.word(state, asked), False)
    if state.phase == "lead_in":
        return LargeWord(moments.verb_of_lead_in(process, stage), True)
    if _just_gone_on(state, now):
        return LargeWord(moments.verb_when_due(process, process.stage(state.done[-1].stage)), True)
    if _is_capped(state, now):
        return LargeWord("cap on", False)
    if moment(state, now) == "due":
        return LargeWord(moments.verb_when_due(process, stage), True)
    if asked is not None:
        return LargeWord(questions.word(state, asked), False)
    again = _again(state, now)
    return LargeWord(stage.large, False) if again is None else LargeWord(again.verb, True)


def sentence(state: PlateState, now: float) -> str:
    """Return the one sentence that says what the hand does at this moment."""
    if state.phase == "ended":
        return {
            "done": "This plate is done.",
            "unvarnished": "This plate is done, without varnish.",
        }.get(_how(state), "This plate was given up.")
    if state.racked:
        return "On the rack, drying."
    if _just_gone_on(state, now):
        return _gone_on(state)
    if state.phase == "ready":
        return _ready(state)
    if state.phase == "lead_in":
        return _lead_in(state)
    if state.held and moment(state, now) == "due":
        return _held(state)
    if exposure.between_parts(state, now):
        return "Cap on. Press for the next step."
    if moment(state, now) == "due":
        return _due(state, now)
    again = _again(state, now)
    if again is not None:
        noted = " Press to note it." if again.noted else ""
        return f"{_capital(again.verb)}: {again.count}{noted}"
    return _running(state, now)


def without_press(text: str) -> str:
    """Return the sentences of `text` that ask for no press: what can be done while a list takes the keys."""
    parts = re.split(r"(?<=[.!?])\s+", text)
    return " ".join(part for part in parts if not _ASKS_FOR_THE_STRIKE.search(part))


def question(state: PlateState, now: float) -> str | None:
    """Return what the bench asks, while the next strike would answer it with yes; None otherwise."""
    asked = questions.is_open(state, now)
    if asked is None or state.refused is None:
        return None
    zero = clocks.zero(state) if asked.asks == "short" else None
    return state.refused[1] if zero is None else questions.short_text(state, zero - now)


def what_next(state: PlateState, now: float) -> str | None:
    """Return "then drain", what a strike does in a lead-in, what answers no, or None after the last stage."""
    following = state.next_stage
    if questions.is_open(state, now) is not None:
        return "take back answers no"
    if state.phase == "lead_in":
        return "a press starts it now"
    if following is None or state.phase == "ended" or state.racked:
        return None
    return f"then {following.shown}"


class _Again(msgspec.Struct, frozen=True):
    """What is to be done once more within the stage: its verb, "3 of 8.", whether a strike notes it."""

    verb: str
    count: str
    noted: bool


def _again(state: PlateState, now: float) -> _Again | None:
    """Return what the last call within the stage asks for: a change until it is noted, another for 5 s."""
    repeat = repeats.repeat_of(state.stage) if state.phase == "running" else None
    calls = repeats.call_instants(state, now, now) if repeat is not None else ()
    if repeat is None or not calls:
        return None
    k, at = calls[-1]
    noted = repeats.change_to_note(state, now) is not None
    if not noted and (state.stage.wash is not None or now - at >= DUE_BEFORE * state.pace):
        return None
    whole = repeats.call_count(state)
    return _Again(repeat.verb, f"{k + 1}." if whole is None else f"{k + 1} of {whole}.", noted)


# --- the moments ---------------------------------------------------------------------------------


def _over_usual(state: PlateState, now: float) -> bool:
    over = temperatures.over_usual(state) if endings.of(state.stage).has_usual else None
    return over is not None and now - state.since >= over


def _next_capping(state: PlateState, now: float, zero: float) -> float:
    """Return when the lens is capped next: at the end of a step with a pause after it, else at the zero."""
    if not endings.of(state.stage).opens_lens:
        return zero
    return next((at for at in exposure_hints.cappings(state) if at > now), zero)


def _is_capped(state: PlateState, now: float) -> bool:
    """True between two steps of an exposure."""
    if state.phase != "running" or not endings.of(state.stage).opens_lens or state.held:
        return False
    return exposure.between_parts(state, now) or exposure_hints.capped_since(state, now) is not None


def _just_gone_on(state: PlateState, now: float) -> bool:
    """True for 2 s after the stage before this one went on by itself."""
    if not state.done or state.racked or state.phase not in ("ready", "running"):
        return False
    last = state.done[-1]
    after = now - last.ended
    return last.how == "zero" and state.index > 0 and 0 <= after < DUE_AFTER * state.pace


def _how(state: PlateState) -> str:
    return state.ended.how if state.ended is not None else "done"


# --- the sentences -------------------------------------------------------------------------------


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _ready(state: PlateState) -> str:
    stage, process = state.stage, state.process
    if endings.of(stage).opens_lens and state.start.timed == "away" and state.lead_part is None:
        plan = exposure.plan_text(state.plan)
        return f"Press when you are back{': exposed as planned' if plan else ''}."
    own = moments.hint_at(stage, "ready")
    if own:
        return own
    if stage.lead_in:
        return f"Press, then {moments.verb_of_lead_in(process, stage)} at zero."
    if endings.of(stage).opens_lens:
        return f"Press, then {moments.verb_of_lead_in(process, stage)}."
    return f"Press to start {stage.shown}."


def _lead_in(state: PlateState) -> str:
    """The file's sentence for the ready stage, unless it asks for the strike that has just been made."""
    own = moments.hint_at(state.stage, "ready")
    if own and not _ASKS_FOR_THE_STRIKE.search(own):
        return own
    return f"{_capital(moments.verb_of_lead_in(state.process, state.stage))} at zero."


def _running(state: PlateState, now: float) -> str:
    stage, ending = state.stage, endings.of(state.stage)
    default = ending.hint(state, now, moments.verb_when_due(state.process, stage))
    if ending.clears and (state.cleared_at is not None or _over_usual(state, now)):
        return default
    if ending.opens_lens and (stage.hints is None or not _runs_as_one(state)):
        return default
    return moments.hint_at(stage, "running") or default


def _runs_as_one(state: PlateState) -> bool:
    """True for an exposure of one planned opening: what the file says of it is true of no other."""
    plan = state.plan
    return clocks.zero(state) is not None and plan is not None and not plan.steps and not plan.pops


def _due(state: PlateState, now: float) -> str:
    stage, ending = state.stage, endings.of(state.stage)
    if ending.opens_lens and not _runs_as_one(state):
        return ending.hint(state, now, moments.verb_when_due(state.process, stage))
    own = moments.hint_at(stage, "due")
    if own:
        return own
    if ending.has_usual and _over_usual(state, now) and clocks.zero(state) is None and state.pace <= 1.0:
        least, most = map(show_elapsed, temperatures.usual(state) or (0.0, 0.0))
        return f"Over the usual {least} to {most}: press when it is done."
    if ending.goes_on:
        return ending.hint(state, now, moments.verb_when_due(state.process, stage))
    return f"{call_words(state)}. {_then_the_verb(state)}"


def call_words(state: PlateState) -> str:
    """Return what is called at the zero of a stage: "Ready to lift", "Time to flood", "Fix is done".

    The plate is lifted where its wet clock starts, and water ends the stage where it stops.
    """
    window, stage = state.process.wet_window, state.stage
    verb = moments.verb_when_due(state.process, stage)
    if window is not None and stage.name == window.from_:
        return f"Ready to {verb}"
    if window is not None and stage.name == window.to:
        return f"Time to {verb}"
    return f"{_capital(stage.shown)} is done"


def _then_the_verb(state: PlateState) -> str:
    if state.next_stage is None:
        return "Press to finish."
    window = state.process.wet_window
    how = " as you" if window is not None and state.stage.name == window.to else ", then"
    return f"Press{how} {moments.verb_when_due(state.process, state.stage)}."


def _held(state: PlateState) -> str:
    if endings.of(state.stage).opens_lens:
        return "Nobody saw it end. Cap on, then press."
    return f"{_capital(state.stage.shown)} ran past its end unseen. {_then_the_verb(state)}"


def _gone_on(state: PlateState) -> str:
    """The sentence of the stage that has just gone on by itself: what it says of its zero is due now."""
    left = state.process.stage(state.done[-1].stage)
    own = moments.hint_at(left, "due")
    if own:
        return _AT_ZERO.sub("now", own)
    verb = moments.verb_when_due(state.process, left)
    return f"{_capital(verb)} {'on ' if verb == 'cap' else ''}now."
