"""The shapes of a bottle's life line: columns of counts, and a value in steps. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.screens.widgets.cell_bars import HEIGHTS
from darkroom.screens.widgets.rows import Row

DOTS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""The bits of a braille cell: its left dots from above, its right ones."""


def columns_rows(counts: Sequence[int], rows: int) -> list[Row]:
    """Return columns as `rows` rows, the highest as high as all of them; one that counts is never nothing."""
    most = max([1, *counts])
    eighths = [0 if count <= 0 else max(1, round(8 * rows * count / most)) for count in counts]
    return [
        [("".join(HEIGHTS[min(8, max(0, height - 8 * below))] for height in eighths), "text")]
        for below in reversed(range(rows))
    ]


def step_rows(points: Sequence[tuple[float, float]], until: float, cells: int, rows: int) -> list[str]:
    """Return values as `rows` rows of braille: each holds from its place to the next, the last to `until`.

    `points` are (place in cells, value), in the order of their places, at least one.
    """
    dots = [[0] * cells for _ in range(rows)]
    values = [value for _, value in points]
    low, high = min(values), max(values)
    lowest = 4 * rows - 1

    def level(value: float) -> int:
        return lowest // 2 if high <= low else round((high - value) / (high - low) * lowest)

    def put(x: int, y: int) -> None:
        dots[y // 4][min(max(x, 0) // 2, cells - 1)] |= DOTS[x % 2][y % 4]

    ends = [*(place for place, _ in points[1:]), max(until, points[-1][0])]
    before: float | None = None
    for (place, value), end in zip(points, ends, strict=True):
        first, last = round(2 * place), min(round(2 * end), 2 * cells)
        for x in range(first, max(last, first + 1)):
            put(min(x, 2 * cells - 1), level(value))
        if before is not None:
            top, bottom = sorted((level(before), level(value)))
            for y in range(top + 1, bottom):
                put(min(first, 2 * cells - 1), y)
        before = value
    return ["".join(chr(0x2800 + bits) if bits else " " for bits in row) for row in dots]
