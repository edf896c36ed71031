"""What to do now, in one sentence as large as the width allows, and what comes next, small."""

from __future__ import annotations

from textwrap import wrap

from darkroom.bench.view import BenchView, PlateView
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.lettering.lettering import Blocks
from darkroom.screens.lettering.small_text import lines_within, small_rows
from darkroom.screens.widgets.rows import Row, Span, fill

NO_PLATE = "Press for the menu: a new plate, or one from the rack."


def told(view: BenchView, status: BenchStatus) -> Span:
    """Return the sentence of the action line.

    A question stands there as long as it can be answered, a refusal while it is new.
    """
    if view.large is not None and view.large.question is not None:
        return view.large.question, "reversed"
    if status.answer is not None and not status.answer_good:
        return status.answer, "reversed"
    large = view.large
    if large is None:
        return NO_PLATE, "text"
    return large.do, "loud" if large.moment == "due" or large.calling is not None else "text"


def action_rows(sentence: Span, columns: int, room: int, blocks: Blocks = "half") -> list[Row]:
    """Return the sentence in the largest letters that its `room` rows and the width allow.

    What stands in reverse as plain text has a bar before it in letters: dark ones on a slab have no margin.
    Three rows a line before two, one line before two, which have a free dot between them; what fits no way,
    or has signs that the small letters lack, is plain text, whole however many rows it takes.
    """
    text, meaning = sentence
    edge = 1 if meaning == "reversed" else 0
    mark: Row = [("  ", "reversed"), ("  ", "text")] if edge else []
    cells = columns - 4 * edge
    blank: Row = [*mark, (" " * cells, "text")]
    for rows, lines in ((3, 1), (3, 2), (2, 1), (2, 2)) if blocks == "half" else ():
        gap = [blank] if rows == 2 else []
        broken = lines_within(text, cells, rows)
        if not broken or len(broken) > lines or len(broken) * (rows + len(gap)) - len(gap) > room:
            continue
        drawn: list[Row] = []
        for line in broken:
            drawn += gap if drawn else []
            drawn += [[*mark, *row] for row in small_rows([line], cells, rows, "loud" if edge else meaning)]
        return drawn
    plain = wrap(text, columns - 2 * edge) or [""]
    return [fill([(f" {line} " if edge else line, meaning)], columns) for line in plain]


def next_row(view: PlateView | None, status: BenchStatus, columns: int) -> Row:
    """Return what comes next; an answer that nothing else shows stands there while it is new.

    Behind a plate that waits for nothing comes the one that the menu proposes. What its clearing tells of the
    fixer stands there quietly while the plate is still in it.
    """
    if status.answer is not None and status.answer_good:
        return fill([(status.answer, "text")], columns)
    if status.clearing is not None:
        return fill([(status.clearing, "text")], columns)
    then = None if view is None else view.then
    if then is None and status.proposed is not None and (view is None or view.shape in ("rack", "ended")):
        then = f"in the menu: new plate, {status.proposed}"
    return fill([(then or "", "quiet")], columns)
