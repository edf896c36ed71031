"""What the bench asks before a strike does what is seldom meant: which question, and what answers it. Pure.

A question is answered with yes by the plate's next strike from 1 to 8 s after it, with no by an undo in that
time. A strike in its first second is part of the one that was asked about; after 8 s it is asked anew.
"""

from __future__ import annotations

from darkroom.bench import clocks, endings, moments, repeats, temperatures
from darkroom.bench import events as ev
from darkroom.bench.state import PlateState, Question
from darkroom.process.text.durations import show_left

FIRST = 1.0
"""A strike sooner after the question does not answer it, in seconds of the hand."""
LAST = 8.0
"""A strike later than this asks anew, in seconds of the hand."""
NEAR_END = 5.0
"""A stage with no more than this left is ended unasked, in seconds."""
NEAR_PART = 0.1
"""A timed stage with no more than this part of its time left is ended unasked."""
SUSPICIOUS = 3.0
"""Clearing sooner than the usual range's lower end divided by this is asked about: common practice, no
source."""


def is_open(state: PlateState, now: float) -> Question | None:
    """Return the question that the plate's next strike would answer at `now`, or None.

    What is called after the question ends it, the end of the stage or a change of the water: the next strike
    is for what was called.
    """
    question = asked_lately(state, now)
    zero = clocks.zero(state)
    if question is not None and question.asks == "short" and (zero is None or now >= zero):
        return None
    if question is None or question.asks == "hand" or repeats.change_to_note(state, now) is None:
        return question
    return None


def is_over(state: PlateState, text: str, now: float) -> bool:
    """Return whether this is the text of a question that the plate's next strike does not answer."""
    asked = state.question is not None and state.refused is not None and state.refused[1] == text
    return asked and is_open(state, now) is None


def asked_lately(state: PlateState, now: float) -> Question | None:
    """Return the question that the plate's next undo would answer at `now`, or None."""
    question = state.question
    if question is None or question.stage != state.stage.name or state.phase == "ended":
        return None
    return question if 0 <= now - question.since <= LAST * state.pace else None


def just_asked(state: PlateState, now: float) -> str | None:
    """Return the text of a question in its first second, when a strike is ignored, else None."""
    question = asked_lately(state, now)
    if question is None or state.refused is None or now - question.since >= FIRST * state.pace:
        return None
    return state.refused[1]


def is_answered(state: PlateState, asks: ev.Asks, now: float) -> bool:
    """Return whether a strike at `now` answers this question with yes."""
    question = is_open(state, now)
    return question is not None and question.asks == asks and now - question.since >= FIRST * state.pace


def short_by(state: PlateState, now: float) -> float | None:
    """Return the seconds a running stage is short of its zero where ending it is asked about, else None."""
    ending = endings.of(state.stage)
    zero = clocks.zero(state)
    if not ending.calls or zero is None or state.held:
        return None
    left = zero - now
    if left <= NEAR_END:
        return None
    if ending.clears:
        return left
    if state.process.is_free_early(state.stage) or left <= NEAR_PART * (zero - state.since):
        return None
    return left


def clears_early(state: PlateState, now: float) -> bool:
    """Return whether "it has cleared" would come suspiciously early."""
    usual = temperatures.usual(state)
    return usual is not None and now - state.since < usual[0] / SUSPICIOUS


def short_text(state: PlateState, left: float) -> str:
    """Return the question before a stage is ended early: "2:10 short: again to lift"."""
    verb = moments.verb_when_due(state.process, state.stage).lower()
    return f"{show_left(left)} short: again to {verb}"


def word(state: PlateState, question: Question) -> str:
    """Return the question in one word: "lift?", "cleared?", "plate 2?"."""
    match question.asks:
        case "short":
            return f"{moments.verb_when_due(state.process, state.stage)}?"
        case "cleared":
            return "cleared?"
    return f"plate {state.number}?" if state.plate else "new?"


def cleared_text(state: PlateState) -> str:
    """Return the question about a plate that is said to have cleared suspiciously early."""
    return f"{state.stage.shown}: cleared already? Again if it has"


def hand_text(state: PlateState, other: PlateState) -> str:
    """Return the question before a plate chosen by hand takes a strike that another plate waits for."""
    number = f"plate {state.number}" if state.plate else "the new plate"
    return f"{number}, though plate {other.number} waits? Again for {number}"
