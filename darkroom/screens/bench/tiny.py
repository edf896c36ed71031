"""A screen too small for large letters still tells what matters, the most needed first."""

from __future__ import annotations

from textwrap import wrap

from darkroom.bench.view import BenchView
from darkroom.screens.bench.action import told
from darkroom.screens.bench.rail import BenchStatus, in_order
from darkroom.screens.widgets.plate_summary import (
    LIGHT_SENTENCE,
    doubts,
    rail_entry,
    time_text,
    wet_row,
)
from darkroom.screens.widgets.rows import Row, fill


def tiny(view: BenchView, status: BenchStatus, columns: int, rows: int) -> list[Row]:
    """Return the rows: light, plate with word and time, wet time, what is wrong, what to do, the others."""
    large = view.large
    light = "red next" if view.red_next else LIGHT_SENTENCE[view.light]
    first: Row = [(light, "loud")]
    if large is not None and large.cyanide:
        first = [(" CYANIDE ", "reversed"), (" ", "text"), *first]
    tiny_rows: list[Row] = [first]
    if large is not None:
        mark = {"held": "held ", "ready": "ready ", "pause": ""}.get(large.shape, "")
        own = f"{large.number or '+'} {large.word.text.upper()} {mark}{time_text(large)}"
        tiny_rows.append([(own, "reversed" if large.calling is not None else "text")])
        tiny_rows += [row for row in [wet_row(large.wet)] if row]
        tiny_rows += [[(line, "loud")] for text in doubts(large)[:1] for line in wrap(text, columns)]
    if status.unsaved:
        tiny_rows.append([(f"not saved: {', '.join(status.unsaved)}", "reversed")])
    if status.answer is not None and status.answer_good:
        tiny_rows += [[(line, "text")] for line in wrap(status.answer, columns)]
    else:
        text, meaning = told(view, status)
        tiny_rows += [[(line, meaning)] for line in wrap(text, columns)]
    tiny_rows += [[rail_entry(other, columns)] for other in in_order(view.rail)]
    if view.rack:
        tiny_rows.append([(f"rack {view.rack}", "text")])
    return [fill(line, columns) for line in tiny_rows[:rows]] + [fill([], columns)] * (rows - len(tiny_rows))
