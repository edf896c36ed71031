"""The first rows of the bench: the plate and its process at the left, the light for 2 m at the right."""

from __future__ import annotations

from collections.abc import Callable
from textwrap import wrap

from darkroom.bench.view import BenchView
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.lettering import lettering
from darkroom.screens.widgets.plate_summary import LIGHT_SENTENCE, LIGHT_WORDS, doubts
from darkroom.screens.widgets.rows import Row, Span, clip, fill, spread, width

LEAST_TITLE = 16
"""With fewer cells beside plate and light, the process is told in the row below them."""


def top_rows(
    view: BenchView, status: BenchStatus, columns: int, rows: int, blocks: lettering.Blocks
) -> list[Row]:
    """Return the rows of plate and light, and the free row below them where it has words of its own."""
    large = view.large
    number = f"{large.number or '+'}" if large else ""
    if rows < 3:
        return _in_one_row(view, status, number, columns, rows)
    number_cells = _number_cells(view, rows)
    lamp = light_rows(view, columns, rows, blocks)
    title_cells = columns - number_cells - 2 - _cells(lamp[0])
    tall: list[Row] = [[]] * rows
    if large:
        tall = lettering.rows(number, number_cells, rows, blocks=blocks, align="left")
    beside = title_cells >= LEAST_TITLE
    titles = _titles(view, status, title_cells, rows) if beside else [[]] * rows
    drawn = [
        spread([*tall[index], (" ", "text"), *titles[index]], lamp[index], columns) for index in range(rows)
    ]
    return [*drawn, fill([] if beside else _one_line(view, status, columns), columns)]


def _in_one_row(view: BenchView, status: BenchStatus, number: str, columns: int, rows: int) -> list[Row]:
    word = f" {LIGHT_WORDS[view.light]} "
    room = columns - width(number) - width(word) - 2
    left: Row = [(f"{number} ", "loud"), *_one_line(view, status, room)]
    first = spread(left, [(word, "reversed" if view.light == "red" else "text")], columns)
    return [first, *([fill([], columns)] * rows)]


def _cells(row: Row) -> int:
    return sum(width(text) for text, _ in row)


def _number_cells(view: BenchView, rows: int) -> int:
    """Return how many cells the plate's number takes in letters of so many rows."""
    return max(6, (len(f"{view.large.number or 0}") + 1) * rows * 13 // 10) if view.large else 0


def light_rows(view: BenchView, columns: int, rows: int, blocks: lettering.Blocks = "half") -> list[Row]:
    """Return the light in words: between bars when only the safelight is safe, hollow when it is covered."""
    columns -= _number_cells(view, rows) + 1
    word = LIGHT_WORDS[view.light]
    natural = lettering.natural_width(word, 2 * rows, 1.0) if blocks == "half" else len(word) * rows * 2
    least = lettering.least_width(word, rows, blocks)
    most_cells = min(columns, max(12, columns - LEAST_TITLE - 3, least + 4))
    if view.light == "red":
        bar = max(1, min(rows, (most_cells - natural - 2) // 2))
        cells = max(1, min(natural, most_cells - 2 * bar - 2))
        letters = lettering.rows(word, cells, rows, blocks=blocks, meaning="loud")
        return [
            [(" " * bar, "frame"), (" ", "text"), *row, (" ", "text"), (" " * bar, "frame")]
            for row in letters
        ]
    return lettering.rows(
        word,
        min(natural, most_cells),
        rows,
        blocks=blocks,
        outline=view.light == "covered" and rows > 4,
        align="right",
    )


def _warnings(
    view: BenchView, status: BenchStatus, fits: Callable[[list[Span]], bool] = lambda told: True
) -> list[Span]:
    """Return what is told of the plate before its process: cyanide, doubtful times, the light to come.

    Of doubtful times it has the longest form with which all `fits`, or the shortest.
    """
    told: list[Span] = []
    for doubt in (doubts(view.large) if view.large is not None else ()) or ("",):
        told = [("CYANIDE", "reversed")] if view.large is not None and view.large.cyanide else []
        told += [(doubt, "loud")] if doubt else []
        told += [("red next", "loud")] if view.red_next else []
        if status.rehearsal or (view.large is not None and view.large.rehearsal):
            told.append(("rehearsal: no chemistry", "quiet"))
        if fits(told):
            break
    return told


def _one_line(view: BenchView, status: BenchStatus, columns: int) -> Row:
    def row(told: list[Span]) -> Row:
        line: Row = []
        for text, meaning in told:
            line += [(f" {text} " if meaning == "reversed" else text, meaning), ("  ", "text")]
        return line

    line = row(_warnings(view, status, lambda told: _cells(row(told)[:-1]) <= columns))
    return [*line, (view.large.process, "text")] if view.large is not None else line


def _titles(view: BenchView, status: BenchStatus, columns: int, rows: int) -> list[Row]:
    """Warnings first, then the process, the plate's subject, the light in a sentence, as rows allow."""

    def wrapped(told: list[Span]) -> list[Row]:
        titles: list[Row] = []
        for text, meaning in told:
            if meaning == "reversed":
                titles.append([(f" {text} ", meaning)])
            else:
                short = text if width(text) <= columns or meaning != "quiet" else text.partition(":")[0]
                titles += [[(line, meaning)] for line in wrap(short, columns)]
        return titles

    titles = wrapped(_warnings(view, status, lambda told: len(wrapped(told)) <= rows))
    if view.large is not None:
        name = wrap(view.large.process, columns)
        whole = len(titles) + len(name) <= rows
        titles += [[(line, "text")] for line in (name if whole else [clip(view.large.process, columns)])]
        if view.large.subject:
            titles.append([(view.large.subject, "quiet")])
    titles.append([(LIGHT_SENTENCE[view.light], "text")])
    return (titles + [[]] * rows)[:rows]
