"""The test plate of the exposure page as its strips side by side, with what is to be known of it. Pure."""

from __future__ import annotations

from textwrap import wrap

from darkroom.exposure.steps import TestPlate
from darkroom.exposure.time_remarks import outlasts
from darkroom.process.text.durations import show_short
from darkroom.process.text.plain_text import plain
from darkroom.screens.exposure.answer import Answer
from darkroom.screens.widgets.rows import Row, width

LABEL = 7
"""The cells of what a row tells."""
BEGINS_BY_HAND = "It begins at the shortest opening by cap or slide."
FEWER = "A hand is too slow for {count} strips."
SLIDE_ON_CALL = (
    "The lens stays open; push the slide at each call. To cap it meanwhile, type a pause behind the times at "
    "home: 2,2,4 pause 3 s."
)
"""The usual test plate, without pauses: a cap off and on for each strip is a hand's time more in each."""


def section_rows(answer: Answer, columns: int) -> list[Row]:
    """Return the test plate with its remarks, or why there is none."""
    strips, question = answer.strips, answer.question
    if strips is None:
        return _sentences([f"No test plate: {answer.no_strips}"], columns) if answer.no_strips else []
    outlasting = outlasts(strips.totals[-1], question.wet)
    said = [f"{outlasting}."] if outlasting else []
    if strips.begins_by_hand:
        said.append(BEGINS_BY_HAND)
    if question.strips is not None and len(strips.pulls) < question.strips:
        said.append(FEWER.format(count=question.strips))
    return [*strip_rows(strips, columns), *_sentences([*said, SLIDE_ON_CALL], columns)]


def strip_rows(plate: TestPlate, columns: int) -> list[Row]:
    """Return a test plate as its strips side by side: what each gets more than the one before, and in all.

    Where they do not fit beside each other the last ones stand below the first; no figure is cut.
    """
    count = len(plate.pulls)
    pulls = [show_short(pull) for pull in plate.pulls]
    lines = (
        ("strip", [str(number) for number in range(1, count + 1)], "quiet"),
        ("open", [pulls[0], *(f"+{pull}" for pull in pulls[1:])], "text"),
        ("in all", [show_short(total) for total in plate.totals], "loud"),
    )
    cells = 1 + max(width(text) for _, texts, _ in lines for text in texts)
    beside = max(1, (columns - LABEL) // cells)
    beside = -(-count // -(-count // beside))  # as many in each group of rows
    rows: list[Row] = [
        [(line, "loud")]
        for line in wrap(f"Test plate: {count} strips, each ×{plate.factor:.2g}", max(8, columns))
    ]
    for first in range(0, count, beside):
        for name, texts, kind in lines:
            figures = "".join(f"{text:>{cells}}" for text in texts[first : first + beside])
            rows.append([(f"{name:<{LABEL}}", "quiet"), (figures, kind)])
    return rows


def _sentences(texts: list[str], columns: int) -> list[Row]:
    return [[(line, "text")] for text in texts for line in wrap(plain(text), max(8, columns))]
