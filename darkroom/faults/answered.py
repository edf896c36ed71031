"""What the photographer answered: the questions about a fault, and what a test showed. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from darkroom.faults.answer import Weighed
from darkroom.faults.catalogue import Catalogue, Cause, Test, name_key
from darkroom.faults.history import MarkedFault

Given = Mapping[str, str]
"""{question, or what a test says to do: its answer}, both by `name_key`."""
SHOWN, ABSENT = "shown", "absent"
_SHOWN_IF = ": shown if "
"""After this a test says what its outcome means; the outcome itself is told without it."""


def given_in(marks: Iterable[MarkedFault]) -> dict[str, str]:
    """Return all answers on a plate; a question that was answered in two ways counts as not answered."""
    answers: dict[str, set[str]] = {}
    for mark in marks:
        for question, answer in mark.answers.items():
            answers.setdefault(name_key(question), set()).add(name_key(answer))
    return {question: found.pop() for question, found in answers.items() if len(found) == 1}


def outcome(test: Test, given: Given) -> str | None:
    """Return SHOWN or ABSENT as the test came out; None where it was not made."""
    answer = given.get(name_key(test.do))
    return answer if answer in (SHOWN, ABSENT) else None


def unanswered(catalogue: Catalogue, faults: Sequence[str], given: Given) -> tuple[str, ...]:
    """Return the questions about these faults that have no answer yet, each once."""
    found: dict[str, str] = {}
    for fault in faults:
        for ask in catalogue.faults[fault].asks:
            if given.get(name_key(ask.question)) not in ask.answers:
                found.setdefault(name_key(ask.question), ask.question)
    return tuple(found.values())


def _greatest(decibans: set[float]) -> float:
    """Return the weight that speaks most, for or against; 0 where two as great speak against each other."""
    high, low = max(decibans), min(decibans)
    if high == -low:
        return 0.0
    return high if abs(high) > abs(low) else low


def weighed_answers(
    catalogue: Catalogue, faults: Sequence[str], cause: Cause, given: Given
) -> tuple[Weighed, ...]:
    """Return what the answers weigh for a cause.

    A question that two marked faults ask weighs once, with the greatest weight that either gives it, whatever
    was marked first; of two as great that speak against each other neither counts. An answer that the
    catalogue does not know weighs nothing.
    """
    weights: dict[str, set[float]] = {}
    found: dict[str, Weighed] = {}
    for fault in faults:
        for ask in catalogue.faults[fault].asks:
            answer = given.get(name_key(ask.question), "")
            decibans = ask.answers.get(answer, {}).get(cause.id)
            if decibans is not None:
                of = weights.setdefault(name_key(ask.question), set())
                of.add(float(decibans))
                said = f"{ask.question} {answer}"
                found[name_key(ask.question)] = Weighed(of=ask.question, says=said, decibans=_greatest(of))
    if cause.test is not None:
        came = outcome(cause.test, given)
        if came is not None:
            decibans = cause.test.shown if came == SHOWN else cause.test.absent
            said = f"{cause.test.do.split(_SHOWN_IF)[0].rstrip('.')}: {came}"
            found[name_key(cause.test.do)] = Weighed(of=cause.test.do, says=said, decibans=float(decibans))
    return tuple(found.values())
