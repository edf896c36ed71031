"""The bench as rows of text: a function of the snapshot, the size of the screen and nothing else.

From top to bottom: plate and light, the large word, the large time, how far, what to do and what comes next,
temperature and second time, the other plates, the keys. A row is a list of (text, meaning) spans that fill
the width; `darkroom.screens.red.red_app` gives each meaning its red.
"""

from __future__ import annotations

from msgspec.structs import replace

from darkroom.bench.view import BenchView
from darkroom.screens.bench.action import action_rows, next_row, told
from darkroom.screens.bench.large_time import how_far, time_rows, word_rows, word_text
from darkroom.screens.bench.measures import cautions, measures_row
from darkroom.screens.bench.rail import BenchStatus, caution_rows, keys_row, lesson_lines, rail_rows
from darkroom.screens.bench.tiny import tiny
from darkroom.screens.bench.top import top_rows
from darkroom.screens.bench.zones import Zones, zones
from darkroom.screens.lettering import lettering
from darkroom.screens.widgets.plate_summary import large_time_text
from darkroom.screens.widgets.rows import Row, fill

LEAST_COLUMNS, LEAST_ROWS = 40, 12
"""A smaller screen has no large letters."""


def face(
    view: BenchView, status: BenchStatus, columns: int, rows: int, *, blocks: lettering.Blocks = "half"
) -> list[Row]:
    """Return the rows of the bench, `rows` of them, each `columns` cells wide."""
    if columns < LEAST_COLUMNS or rows < LEAST_ROWS:
        return tiny(view, status, columns, rows)
    large = view.large
    sentence = told(view, status)
    lesson = lesson_lines(status.lesson, columns)
    beware = cautions(view)
    answered = status.answer is not None and status.answer_good
    plan = zones(
        columns,
        rows,
        large_time_text(large.large_time) if large else "0:00",
        word_text(large) if large else "EMPTY",
        do=lambda room: len(action_rows(sentence, columns, room - (1 if answered else 0), blocks)),
        lesson=min(len(lesson), max(2, rows // 8)),
        others=bool(view.rail or view.rack or beware),
    )
    if blocks == "spaces" and not plan.below_word:  # a row of spaces has no half to leave free
        plan = replace(plan, digits=plan.digits - 1, below_word=1)
    before_bar, after_next = (plan.spare + 1) // 2, plan.spare // 2
    below = 0 if plan.below_word else 1
    blank = fill([], columns)
    drawn = top_rows(view, status, columns, plan.top, blocks)[: plan.top + plan.gap]
    drawn += word_rows(large, columns, plan.word, blocks, below) + [blank] * plan.below_word
    drawn += time_rows(large, columns, plan.digits, blocks) + [blank] * before_bar
    drawn.append(how_far(large, columns, blocks, second=not plan.measures))
    if answered and not plan.then:
        sentence = status.answer or "", "text"
    action = action_rows(sentence, columns, plan.do, blocks)[: plan.do]
    drawn += action + [blank] * (plan.do - len(action))
    drawn += [next_row(large, status, columns)] * plan.then + [blank] * after_next
    own_rows = min(len(lesson), plan.rail) if lesson else _caution_rows(view, status, plan) if beware else 0
    if plan.measures:
        drawn.append(measures_row(view, status, columns, with_cautions=not own_rows and bool(beware)))
    drawn += rail_rows(view, columns, plan.rail - own_rows)
    if lesson:
        drawn += [fill([(line, "loud")], columns) for line in lesson[:own_rows]]
    elif own_rows:
        in_turns = _free_rail(view, plan) == 0  # every other page of the row is the other plates'
        drawn += caution_rows(beware, status.caution_page // (2 if in_turns else 1), columns, own_rows)
    drawn.append(keys_row(status, columns))
    return drawn[:rows] + [blank] * (rows - len(drawn))


def _free_rail(view: BenchView, plan: Zones) -> int:
    """Return how many rows of the rail the other plates leave."""
    return plan.rail - (1 if view.rail or view.rack else 0)


def _caution_rows(view: BenchView, status: BenchStatus, plan: Zones) -> int:
    """Return how many rows of the rail the cautions take: those that the other plates leave, two at most.

    Where they leave none, the cautions take the temperature's place in the row above; without that row the
    rail's is told in turns.
    """
    free = _free_rail(view, plan)
    if free == 0 and not plan.measures:
        return plan.rail * (status.caution_page % 2)
    return min(2, free)
