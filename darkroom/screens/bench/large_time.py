"""The large word, the large time in a shape of its own for each thing it can mean, and how far it is."""

from __future__ import annotations

from typing import Any

from darkroom.bench.view import PlateView
from darkroom.process.text.durations import show_elapsed
from darkroom.screens.lettering import lettering
from darkroom.screens.lettering.small_text import small_rows, small_width, spaces_rows
from darkroom.screens.widgets.plate_summary import large_time_text, second_time, wet_name
from darkroom.screens.widgets.rows import Row, Span, fill, spread, width

LABEL = 10
"""The cells beside the digits in which the wet time says what it is, at least."""
LABEL_ROWS, TALL_LABEL = 3, 14
"""Its words are three rows tall, beside digits of 14 rows and more four."""
SPACES_FROM = 6
"""Fewer rows of coloured spaces than this are too few for hinted letters."""
SOLID, PLAIN_SOLID, OPEN = "━", "=", "·"
"""How far: a line in the middle of its row, so that it touches no large letter."""


def word_text(view: PlateView) -> str:
    """Return the word of the large letters."""
    return view.word.text.upper()


def word_rows(
    view: PlateView | None, columns: int, rows: int, blocks: lettering.Blocks, below: int
) -> list[Row]:
    """Return the large word: hollow while its stage stands ready, between bars while it is a verb."""
    if view is None:
        return _centred(lettering.rows("EMPTY", columns - 2, rows, blocks=blocks, below=below), columns)
    text, due = word_text(view), view.word.due
    if blocks == "spaces" and rows < SPACES_FROM:
        small = spaces_rows(text, columns, rows, "text")
        if small is not None:
            return [list(row) for row in small]
    tall = rows * 2 - below if blocks == "half" else rows - below
    weight = lettering.WEIGHT * (tall + below) / tall
    if not due:
        ready = view.shape == "ready"
        drawn = lettering.rows(
            text, columns - 2, rows, blocks=blocks, weight=weight, outline=ready, below=below
        )
        return _centred(drawn, columns)
    bar = min(6, max(2, columns // 24))
    room = columns - 2 * (bar + 2)
    natural = lettering.natural_width(text, tall, 1 if blocks == "half" else 2, weight) or width(text)
    drawn = lettering.rows(
        text, min(room, natural), rows, blocks=blocks, weight=weight, meaning="loud", below=below
    )
    before = (columns - min(room, natural)) // 2 - bar - 2
    edge: Span = (" " * bar, "frame")
    gap: Span = ("  ", "text")
    return [fill([(" " * before, "text"), edge, gap, *row, gap, edge], columns) for row in drawn]


def time_rows(view: PlateView | None, columns: int, rows: int, blocks: lettering.Blocks) -> list[Row]:
    """Return the large time."""
    if view is None:
        return [fill([], columns)] * rows
    large = view.large_time
    text = large_time_text(large)
    if large.shape in ("wet", "past_wet"):
        return _wet_rows(view, text, columns, rows, blocks)
    if large.shape == "over":
        return _boxed(text, columns, rows, blocks)
    options: dict[str, Any] = {"blocks": blocks, "meaning": "text"}
    if large.shape in ("ready", "held", "pause", "ended", "rack"):
        options["outline"] = True
    if large.shape == "lead_in":
        options["inverse"] = True
    drawn = lettering.rows(text, columns - 2, rows, **options)
    if large.shape in ("held", "pause"):
        return [fill(_barred(row, columns - 2, index), columns) for index, row in enumerate(drawn)]
    return _centred(drawn, columns)


def _centred(rows: list[Row], columns: int) -> list[Row]:
    return [fill([(" ", "text"), *row], columns) for row in rows]


def _boxed(text: str, columns: int, rows: int, blocks: lettering.Blocks) -> list[Row]:
    """An overrun: an outline in a frame, for the plate is bare and the slab of a call would light it."""
    if rows < 5:
        return _centred(lettering.rows(text, columns - 2, rows, blocks=blocks, outline=True), columns)
    inner = lettering.rows(text, columns - 6, rows - 2, blocks=blocks, outline=True, meaning="loud")
    side = (" ", "frame")
    if blocks == "half":
        above: Row = [side, ("▀" * (columns - 2), "text"), side]
        under: Row = [side, ("▄" * (columns - 2), "text"), side]
    else:
        above = under = [(" " * columns, "frame")]
    return [above, *([side, ("  ", "text"), *row, ("  ", "text"), side] for row in inner), under]


def _wet_rows(view: PlateView, text: str, columns: int, rows: int, blocks: lettering.Blocks) -> list[Row]:
    """The wet clock with its name beside the digits; past wet between striped bars, with a minus."""
    wet = view.wet
    past = wet is not None and wet.past
    label = wet_name(view).split()
    edge = max(2, columns // 24) if past else 0
    inside = columns - 2 - 2 * edge
    widest = inside - (lettering.least_width(text, rows, blocks) or len(text))
    label_cells = max(LABEL, min(columns // 4, widest))
    digit_cells = max(1, inside - label_cells)
    meaning = "loud" if wet is not None and (past or wet.back_now or wet.left <= 120) else "text"
    digits = lettering.rows(text, digit_cells, rows, blocks=blocks, meaning=meaning, outline=past)
    names = _label_rows(label, label_cells - 1, rows, blocks)
    if wet is not None and wet.assumed:
        names[-1] = fill([("assumed", "text")], label_cells - 1)
    drawn = []
    for index in range(rows):
        bar = (" " * edge, "frame" if index % 2 == 0 else "text")
        drawn.append(
            fill(
                [bar, (" ", "text"), *names[index], (" ", "text"), *digits[index], (" ", "text"), bar],
                columns,
            )
        )
    return drawn


def _label_rows(words: list[str], columns: int, rows: int, blocks: lettering.Blocks) -> list[Row]:
    """The words one above the other, in letters of three or four rows where they fit, else in plain text."""
    drawn: list[Row] = []
    fits = blocks == "half" and max(small_width(word, LABEL_ROWS) or columns + 1 for word in words) <= columns
    if fits and len(words) * (LABEL_ROWS + 1) < rows:
        for word in words:
            if rows < TALL_LABEL:
                drawn += small_rows([word], columns, LABEL_ROWS, "loud")
            else:
                drawn += lettering.rows(word, columns, LABEL_ROWS + 1, align="left", meaning="loud")
            drawn.append([(" " * columns, "text")])
    else:
        drawn += [fill([(word, "loud")], columns) for word in words]
    blank: Row = [(" " * columns, "text")]
    return ([blank] * max(0, (rows - 1 - len(drawn)) // 2) + drawn + [blank] * rows)[:rows]


def _barred(row: Row, columns: int, index: int) -> Row:
    """Bars at both sides: the clock goes on, but nothing will happen by itself."""
    bar = max(2, columns // 16)
    bar_meaning = "frame" if index % 2 == 0 else "text"
    inner: Row = []
    skip, keep = bar, columns - 2 * bar
    for text, meaning in row:
        cut = text[skip:] if skip < len(text) else ""
        skip = max(0, skip - len(text))
        cut = cut[:keep]
        keep -= len(cut)
        if cut:
            inner.append((cut, meaning))
    return [(" ", "text"), (" " * bar, bar_meaning), *inner, (" " * bar, bar_meaning)]


def _past(view: PlateView) -> str:
    """Return what the plate has gone past, or ""."""
    if view.wet is not None and view.wet.past:
        return f"PAST WET {show_elapsed(-view.wet.left)}"
    if view.shape == "over" and view.planned:
        return f"{show_elapsed(view.seconds)} over the {show_elapsed(round(view.planned))}"
    return ""


def how_far(view: PlateView | None, columns: int, blocks: lettering.Blocks, *, second: bool) -> Row:
    """Return one line across the whole width; `second`: the second time stands at its end."""
    if view is None:
        return fill([], columns)
    told = _past(view)
    if told and not second:
        return [(f" {told} ".center(columns, SOLID if blocks == "half" else PLAIN_SOLID), "loud")]
    times = second_time(view) if second else []
    cells = columns - sum(width(text) for text, _ in times) - (1 if times else 0)
    fraction = view.large_time.fraction
    if fraction is None:
        return spread([(OPEN * cells, "line")], times, columns)
    full = round(max(0.0, min(1.0, fraction)) * cells)
    done = (SOLID if blocks == "half" else PLAIN_SOLID) * full, "text"
    return spread([done, (OPEN * (cells - full), "line")], times, columns)
