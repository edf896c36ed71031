"""The temperatures of a plate over its time line, one small trace a source: solid where read, broken where
assumed. Pure."""

from __future__ import annotations

from collections.abc import Callable

from darkroom.bench.state import PlateState, Trace
from darkroom.log.plate.axis import Axis
from darkroom.log.plate.time_line import temperature_traces, trace_segments
from darkroom.process.text.plain_text import plain
from darkroom.process.text.temperatures import show_celsius
from darkroom.screens.widgets.rows import Row

DOTS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""The bits of a braille cell: its left dots from above, its right ones."""
SPAN = 2.0
"""A trace is as high as so many °C at least: a tenth of a degree is no cliff."""


def origin_words(origin: str) -> str:
    """Say where a temperature is from."""
    return {"hand": "typed", "assumed": "assumed"}.get(origin, origin)


def trace_rows(state: PlateState, axis: Axis, cells: int) -> list[tuple[str, list[Row], list[str]]]:
    """Return (source, rows of its trace, words for it) for each source that counts."""
    traces = []
    for source, trace in temperature_traces(state).items():
        values = [celsius for _, celsius, _ in trace]
        low, high = min(values), max(values)
        rows = [[(row, "text")] for row in braille_trace(trace, axis, cells, 1 if low == high else 2)]
        range_text = show_celsius(high) if low == high else f"{low:.3g} to {show_celsius(high)}"
        origins = dict.fromkeys(plain(origin_words(origin)) for _, _, origin in trace)
        texts = [f"{range_text} {', '.join(origins)}"] if len(rows) == 1 else [range_text, ", ".join(origins)]
        traces.append((source, rows, texts))
    return traces


def braille_trace(trace: Trace, axis: Axis, cells: int, rows: int) -> list[str]:
    """Return the trace as `rows` rows of braille, two dots across a cell and four down."""
    dots = [[0] * cells for _ in range(rows)]
    level = _levels(trace, rows)

    def set_dot(x: int, y: int) -> None:
        cell = min(max(x, 0) // 2, cells - 1)
        dots[y // 4][cell] |= DOTS[x % 2][y % 4]

    for begin, end, celsius, following, origin in trace_segments(trace, axis.start, axis.end):
        first, last = round(2 * axis.x(begin)), round(2 * axis.x(end))
        for x in range(first, max(last, first + 1)):
            if origin != "assumed" or x % 4 < 2:
                set_dot(min(x, 2 * cells - 1), level(celsius))
        low, high = sorted((level(celsius), level(following)))
        for y in range(low + 1, high):
            set_dot(min(last, 2 * cells - 1), y)
    return ["".join(chr(0x2800 + bits) if bits else " " for bits in row) for row in dots]


def _levels(trace: Trace, rows: int) -> Callable[[float], int]:
    """Return the function from °C to the row of dots from above."""
    values = [celsius for _, celsius, _ in trace]
    middle, span = (min(values) + max(values)) / 2, max(SPAN, max(values) - min(values))
    lowest_row = 4 * rows - 1

    def level(celsius: float) -> int:
        return max(0, min(lowest_row, round(lowest_row / 2 - 0.01 - (celsius - middle) / span * lowest_row)))

    return level
