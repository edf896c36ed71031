"""The clocks of the bench in a few rows: they stand above every menu, list and question.

Plate and light in words, the large word and the large time, what to do, the second time; nothing while the
bench is empty.
"""

from __future__ import annotations

from darkroom.bench.instruction import without_press
from darkroom.bench.view import BenchView, PlateView
from darkroom.screens.lettering import lettering
from darkroom.screens.widgets.plate_summary import (
    LIGHT_SENTENCE,
    LIGHT_WORDS,
    doubt,
    large_time_text,
    rail_entry,
    second_time,
    wet_name,
)
from darkroom.screens.widgets.rows import Row, Span, clip, fill, spread, width

TALL, TALLEST = 3, 8
"""The rows of word and time where there is room for letters at all, and the most of them."""
OTHERS = 24
"""The rows that are left to what stands below before word and time grow."""
LEAST_PROCESS = 8
"""Behind the words on doubtful times the process is named where it has so many cells."""
CLOSE_FIRST = "Close this, then press."
"""Stands for a sentence that asks for a press: here a press would choose a row, or be typed."""
LEAST_ROWS, LEAST_COLUMNS = 17, 56
"""On a smaller screen word and time are plain text."""


def clock_rows(view: BenchView, columns: int, rows: int, blocks: lettering.Blocks = "half") -> list[Row]:
    """Return the clocks for a screen of this size: five rows and more, three on a small one.

    An empty bench has none.
    """
    large = view.large
    if large is None:
        return [fill([rail_entry(plate, columns) for plate in view.rail], columns)] if view.rail else []
    lamp = _light(view)
    first = spread(_plate(large, columns - width(lamp[0]) - 1), [lamp], columns)
    if rows < LEAST_ROWS or columns < LEAST_COLUMNS:
        return _plain(view, large, first, columns, rows)
    word, time = large.word.text.upper(), large_time_text(large.large_time)
    name = wet_name(large)
    tall = max(TALL, min(TALLEST, (rows - OTHERS) // 3))
    time_cells = _cells(time, tall, blocks)
    name_cells = max(width(name), width(_assumed(large)))
    word_cells = max(1, min(_cells(word, tall, blocks), columns - time_cells - name_cells - 3))
    meaning = "loud" if large.moment == "due" or large.calling is not None else "text"
    outline = large.shape == "ready" and not large.word.due
    words = lettering.rows(
        word, word_cells, tall, blocks=blocks, outline=outline, align="left", meaning=meaning
    )
    times = lettering.rows(time, time_cells, tall, blocks=blocks, align="right", meaning=meaning)
    names: list[Span] = [("", "text")] * (tall - 2) + [(name, "loud"), (_assumed(large), "text")]
    lettered = [
        spread(words[row], [names[row], (" " if names[row][0] else "", "text"), *times[row]], columns)
        for row in range(tall)
    ]
    return [first, *lettered, spread([(_do(large), meaning)], second_time(large), columns)]


def _do(view: PlateView) -> str:
    """Return what to do while a list or a line has the keys: the bench's press comes after closing it."""
    text = without_press(view.do)
    if view.question is not None or text != view.do:
        text = f"{text} {CLOSE_FIRST}".strip() if view.question is None else CLOSE_FIRST
    return text


def _cells(text: str, rows: int, blocks: lettering.Blocks) -> int:
    aspect = 1 if blocks == "half" else 2
    return lettering.natural_width(text, 2 * rows // aspect, aspect) or len(text) + 2


def _assumed(view: PlateView) -> str:
    large = view.large_time.shape in ("wet", "past_wet")
    return "assumed" if large and view.wet is not None and view.wet.assumed else ""


def _plate(view: PlateView, columns: int) -> Row:
    """Return number, warnings and, where it finds room, the process."""
    plate: Row = [(f"{view.number or '+'} ", "loud")]
    if view.cyanide:
        plate += [(" CYANIDE ", "reversed"), (" ", "text")]
    if view.estimated:
        plate.append((doubt(view, columns - _cells_of(plate)), "loud"))
        if columns - _cells_of(plate) < LEAST_PROCESS:
            return plate
        plate.append(("  ", "text"))
    return [*plate, (view.process, "text")]


def _cells_of(row: Row) -> int:
    return sum(width(text) for text, _ in row)


def _light(view: BenchView) -> Span:
    if view.red_next:
        return "RED NEXT", "loud"
    return LIGHT_WORDS[view.light], "loud" if view.light == "red" else "text"


def _plain(view: BenchView, large: PlateView, first: Row, columns: int, rows: int) -> list[Row]:
    """Plate, word and time in plain text; the light gives way to them on a screen of a few rows."""
    own = f"{large.word.text.upper()} "
    name = wet_name(large)
    time = f"{name} {large_time_text(large.large_time)}".strip()
    second = second_time(large)
    room = max(0, columns - width(time) - 3)
    line = spread([(clip(own, room), "loud")], [(f" {time} ", "reversed")], columns)
    if rows < 8:
        return [line][: max(0, rows - 2)]
    if not second:
        return [first, line]
    return [first, line, spread([(LIGHT_SENTENCE[view.light], "text")], second, columns)]
