"""The rows of the home screen around its fields: two columns of fields, what is on the bench, the keys."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING

from darkroom.bench.view import BenchView
from darkroom.errors import QuantityError
from darkroom.screens.home.last_advice import Advice
from darkroom.screens.widgets.form import Field, Form
from darkroom.screens.widgets.plate_summary import LIGHT_SENTENCE, rail_entry
from darkroom.screens.widgets.rows import Row, clip, fill, spread, width
from darkroom.screens.widgets.wrapped_text import wrapped
from darkroom.session.plate_form import exposure_plan

if TYPE_CHECKING:
    from darkroom.exposure.learned import Learned
    from darkroom.process.model import ExposurePlan

TWO_COLUMNS = 76
"""From so many cells on the fields stand in two columns."""
WIDE = 100
"""From so many cells on the keys are named in full."""
LABEL = 19
"""The cells of a field's name."""
WIDER = 130
"""From so many cells on the bottles are named too: what does not work still fits beside the keys."""
WIDEST = 140
"""From so many cells on the trends are named too: what does not work still fits beside the keys."""

SAME_TIME = 0.02
"""A time that differs by no more than this share from the proposed one is the proposed one."""
LEAST_FIELDS = 6
"""So many rows of fields stay in sight where much is said below them."""


def field_rows(
    form: Form, left: Sequence[Field], right: Sequence[Field], columns: int, rows: int
) -> list[Row]:
    """Return the fields around the hand, in two columns where there is room for them."""

    def line(field: Field, cells: int) -> Row:
        kind = "text" if field is form.current else "quiet"
        return form.line(field, [(f"{field.label:<{LABEL}} ", kind)], cells)

    if columns < TWO_COLUMNS:
        return [line(field, columns) for field in form.fields[form.window(rows)]]
    half = columns // 2 - 1
    place = (left if form.current in left else right).index(form.current)
    first = max(0, min(place - rows // 2, max(len(left), len(right)) - rows))
    return side_by_side(
        [line(field, half) for field in left[first:]],
        [line(field, columns - half - 2) for field in right[first:]],
        columns,
        rows,
    )


def side_by_side(left: Sequence[Row], right: Sequence[Row], columns: int, rows: int) -> list[Row]:
    """Return two columns of fields beside each other, with free rows between where there is room for them."""
    half = columns // 2 - 1
    blank_left, blank_right = fill([], half), fill([], columns - half - 2)
    field_rows: list[Row] = [
        [*(one or blank_left), ("  ", "text"), *(other or blank_right)]
        for one, other in zip_longest(left, right)
    ]
    if rows >= 2 * len(field_rows):
        field_rows = [row for pair in field_rows for row in (pair, fill([], columns))]
    return field_rows[:rows]


def bench_texts(view: BenchView) -> list[str]:
    """Return the light, the plates on the bench and those on the rack, a text each."""
    plates = ([view.large] if view.large else []) + list(view.rail)
    texts = [LIGHT_SENTENCE[view.light]]
    if plates:
        texts.append("on the bench:" + "".join(rail_entry(plate)[0] for plate in plates).rstrip())
    if view.rack:
        texts.append(f"on the rack: {view.rack} (in the menu)")
    return texts


def due_row(columns: int, view: BenchView, due: str) -> Row:
    """Return what is due of the bottles; a free row while a plate is on the bench, and where nothing is."""
    return fill([], columns) if view.large or view.rail else fill([(clip(due, columns), "text")], columns)


def with_fault(page_rows: list[Row], fault: str, columns: int, rows: int, due: int) -> bool:
    """Fill the page to `rows` rows, since when there is a fault and what to try in rows of its own, whole.

    Those are the last ones, or that of what is due (its place is `due`) where that is free and it fits there.
    Returns whether there were any.
    """
    lines = wrapped(fault, columns) if fault else []
    free = rows - len(page_rows)
    page_rows += [fill([], columns)] * free
    if lines and len(lines) <= free:
        page_rows[rows - len(lines) : rows] = [fill([(line, "loud")], columns) for line in lines]
        return True
    due_is_free = due < len(page_rows) and not "".join(text for text, _ in page_rows[due]).strip()
    if len(lines) == 1 and due_is_free:
        page_rows[due] = fill([(lines[0], "loud")], columns)
        return True
    return False


def told_lines(fault: str, advice: Advice | None, said: str, cells: int, room: int) -> list[str]:
    """Return the fault and what else is said in as many lines as it needs, the fault first.

    All but the last line are taken from the `room` of the fields, of which LEAST_FIELDS rows stay. That
    the next plate is exposed as the last one was is left out: the form has it.
    """
    as_it_was = advice is not None and advice.stops == 0 and not advice.note
    lines = wrapped("; ".join(filter(None, [fault, "" if as_it_was else said])), cells)
    most = max(1, 1 + room - LEAST_FIELDS)
    return lines if len(lines) <= most else [*lines[: most - 1], clip(" ".join(lines[most - 1 :]), cells)]


def proposal_row(columns: int, learned: Learned | None, no_time: str = "") -> Row:
    """Return the exposure that is proposed, nothing while none is known, and the key to its page.

    Why there is `no_time` stands in its place.
    """
    proposed = no_time
    if learned is not None and not no_time:  # not before the first frame: the module is loaded for it alone
        from darkroom.exposure.by_hand import too_short
        from darkroom.session.exposure_proposal import sentence

        short = None if learned.seconds is None else too_short(learned.seconds)
        proposed = f"{learned.seconds:.2g} s is {short}" if short else sentence(learned)
    return spread([(proposed, "text")], [("F8", "text"), (" exposure", "quiet")], columns)


def advice_words(advice: Advice | None, learned: Learned | None, exposure: str) -> str:
    """Return what the last plate said to change, and whether the form has another time than the proposed one.

    Where the judged plates propose a time, how that plate was exposed is in it and is not said twice. A test
    plate in the form that is not the proposed one was so for another stop, light or lens, or was typed.
    """
    if learned is None or learned.seconds is None:
        return "" if advice is None else advice.text
    from darkroom.session.exposure_proposal import proposed_strips, pulls_text, rounded

    said = [] if advice is None else [advice.note if learned.plates else advice.text]
    plan, is_other = _plan_of(exposure), False
    if plan is not None and plan.seconds is not None:
        proposed_seconds = rounded(learned.seconds)
        differs = abs(plan.seconds - proposed_seconds) > SAME_TIME * proposed_seconds
        is_other = bool(learned.plates) and differs
    elif plan is not None and plan.steps:
        strips = proposed_strips(learned)
        proposed = None if strips is None else _plan_of(pulls_text(strips))
        is_other = proposed is not None and plan.steps != proposed.steps
    if is_other:
        said.append(f"the form has {exposure.strip()}, not what is proposed")
    return "; ".join(filter(None, said))


def _plan_of(exposure: str) -> ExposurePlan | None:
    try:
        return exposure_plan(exposure)
    except QuantityError:
        return None


def keys_row(columns: int, notice: str) -> Row:
    """Return the keys, whole, and beside them what does not work as far as it fits."""
    wide = columns >= WIDE
    gap = "   " if wide else "  "
    sheet = "the day's sheet" if wide else "sheet"
    keys: Row = [
        ("enter", "text"),
        (f" to the bench{gap}", "quiet"),
        *([("up down", "text"), (f" move{gap}", "quiet")] if wide else []),
        ("escape", "text"),
        (f" {'bench and menu' if wide else 'menu'}{gap}", "quiet"),
        ("F2", "text"),
        (f" {'the log' if wide else 'log'}{gap}", "quiet"),
        ("F3", "text"),
        (f" {sheet}", "quiet"),
        *([("   F4", "text"), (" trends", "quiet")] if columns >= WIDEST else []),
        *([("   F12", "text"), (" bottles", "quiet")] if columns >= WIDER else []),
    ]
    room = columns - sum(width(text) for text, _ in keys) - 1
    notice = clip(notice, room) if room > 0 else ""
    return spread(keys, [(notice, "loud")] if notice else [], columns)
