"""The one thing to do next: a change, the test that must come before it, or what to note next time. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.faults.answer import Advice, Likely
from darkroom.faults.answered import ABSENT, SHOWN, Given, outcome, unanswered
from darkroom.faults.catalogue import Catalogue, Cause, name_key
from darkroom.faults.evidence_names import BY_NAME

PRICE = 0.05
"""Each step of a change's cost counts as so much less chance."""
LEAST = 0.35
"""Below this, chance less price, nothing is changed for a cause."""
CHANGE_NOTHING = "Make the next plate with nothing changed, judge it, and ask again."
FROM_ELSEWHERE = "Write in the plate's note what it was, and add the cause to your own file of faults."
"""Where the photographer says that it was no cause of the catalogue."""


def recommend(
    catalogue: Catalogue,
    marked: Sequence[str],
    causes: Sequence[Likely],
    given: Given,
    confirmed: Sequence[str] = (),
) -> Advice:
    """Return one advice, never an empty one.

    `marked` are the ids of the faults to act on, `causes` the causes weighed of them, the likeliest first,
    `given` the answers, `confirmed` the causes that the photographer confirmed for this very plate, which
    count as sure. Without a fault to act on all that were seen came from elsewhere.

    The cause with the greatest chance - PRICE·cost is acted upon. A remedy that alters a bottle is advised
    only after the cause's own test was shown; before that the advice is the test, and after the test came
    out "absent" the remedy is not advised at all. Where no cause reaches LEAST it says what to note, or
    which question to answer.
    """
    if not marked:
        return Advice(kind="note", do=FROM_ELSEWHERE)
    worth = {
        likely.cause: (1.0 if likely.cause in confirmed else likely.chance)
        - PRICE * catalogue.causes[likely.cause].cost
        for likely in causes
    }
    for name in sorted(worth, key=lambda name: -worth[name]):
        if worth[name] < LEAST:
            break
        advice = _act_on(catalogue, marked, catalogue.causes[name], given)
        if advice is not None:
            return advice
    return _note_or_question(catalogue, marked, causes, given) or _trial(catalogue, marked, causes, given)


def _act_on(catalogue: Catalogue, marked: Sequence[str], cause: Cause, given: Given) -> Advice | None:
    """Return the change for a cause, or its test where that comes first; None where it may not be made."""
    cautions = _cautions(catalogue, marked, cause)
    came = None if cause.test is None else outcome(cause.test, given)
    if cause.alters is None or came == SHOWN:
        return Advice(kind="change", do=cause.remedy, cause=cause.id, cautions=cautions)
    if cause.test is None or came == ABSENT:
        return None
    return Advice(kind="test", do=cause.test.do, cause=cause.id, cautions=cautions)


def _cautions(catalogue: Catalogue, marked: Sequence[str], cause: Cause) -> tuple[str, ...]:
    of_faults = [
        caution
        for name in marked
        if cause.id in catalogue.faults[name].causes
        for caution in catalogue.faults[name].cautions
    ]
    return tuple(dict.fromkeys((*cause.cautions, *of_faults)))


def _note_or_question(
    catalogue: Catalogue, marked: Sequence[str], causes: Sequence[Likely], given: Given
) -> Advice | None:
    """Return what could move the likeliest causes most: a thing to record next time, or an open question.

    For each cause the figure or answer that can weigh most counts, times the chance of the cause. Of two that
    weigh the same the question comes first: it can be answered now.
    """
    notes, questions = _notes(catalogue, causes), _questions(catalogue, marked, causes, given)
    note = max(notes, key=lambda how: notes[how], default=None)
    question = max(questions, key=lambda asked: questions[asked], default=None)
    if question is not None and (note is None or questions[question] >= notes[note]):
        return Advice(kind="note", do=f'Answer in the judging form: "{question}"')
    return None if note is None else Advice(kind="note", do=f"Next time, {note}.")


def _notes(catalogue: Catalogue, causes: Sequence[Likely]) -> dict[str, float]:
    """Return {what to record: how much its figures could move}; a thing to do may record several."""
    reach: dict[str, float] = {}
    for likely in causes:
        most: dict[str, float] = {}
        for evidence in catalogue.causes[likely.cause].evidence:
            if evidence.of in likely.silent and evidence.of in BY_NAME:
                how = BY_NAME[evidence.of].noted_by
                most[how] = max(most.get(how, 0.0), *(abs(decibans) for _, decibans in evidence.points))
        for how, weight in most.items():
            reach[how] = reach.get(how, 0.0) + likely.chance * weight
    return reach


def _questions(
    catalogue: Catalogue, marked: Sequence[str], causes: Sequence[Likely], given: Given
) -> dict[str, float]:
    """Return {open question: how much its answers could move}, in the order in which they are asked.

    A question that two faults ask weighs as the greatest weight of either, as its answer does.
    """
    reach: dict[str, float] = {}
    for question in unanswered(catalogue, marked, given):
        asks = (ask for fault in marked for ask in catalogue.faults[fault].asks)
        answers = [
            weights
            for ask in asks
            if name_key(ask.question) == name_key(question)
            for weights in ask.answers.values()
        ]
        reach[question] = sum(
            likely.chance * max(abs(weights.get(likely.cause, 0.0)) for weights in answers)
            for likely in causes
        )
    return reach


def _trial(catalogue: Catalogue, marked: Sequence[str], causes: Sequence[Likely], given: Given) -> Advice:
    """Return a test that was not tried, where nothing else is left: likely and cheap ones first."""
    untried = [
        (likely.chance - PRICE * test.cost, likely.cause, test.do)
        for likely in causes
        if (test := catalogue.causes[likely.cause].test) is not None and outcome(test, given) is None
    ]
    if not untried:
        return Advice(kind="note", do=CHANGE_NOTHING)
    _, name, do = max(untried, key=lambda trial: trial[0])
    return Advice(
        kind="test", do=do, cause=name, cautions=_cautions(catalogue, marked, catalogue.causes[name])
    )
