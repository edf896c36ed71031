"""A picture as rows of plain text: drawn by plotext, shapes told apart by their signs, never by colour."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

from darkroom.log.trends.figures import Picture
from darkroom.log.trends.scales import Scale
from darkroom.process.text.plain_text import plain

POINTS = "·o@"
"""Few plates at a place, more, many."""
MARK = "█"
SPAN_UP, SPAN_ACROSS = "│", "─"
CURVE = "▀▄"
"""The curve is drawn with such signs (quarters of a cell), and named by two of them."""
_ASCII = str.maketrans("·█│─┌┐└┘┤┬▀▄", ".#|-++++++**")
LEAST_COLUMNS, LEAST_ROWS = 32, 9
CROWDED = 200
"""With more points than this the curve is drawn over them, else under them."""


def fits(columns: int, rows: int) -> bool:
    """Return whether a plot of that size tells anything."""
    return columns >= LEAST_COLUMNS and rows >= LEAST_ROWS


def plot(picture: Picture, columns: int, rows: int, simple: bool = False) -> list[str]:
    """Return exactly `rows` rows of `columns` cells, without any colour code.

    A `simple` plot is for a terminal that has no signs for drawing: all of it is ASCII but for words.
    """
    if not fits(columns, rows):
        return [_fit("too small a window for a plot" if not n else "", columns) for n in range(rows)]
    high = rows - 5  # the words above and below, the frame, the figures
    each = 1 if picture.up.unit == "stars" else 3  # a figure in every row of stars, else in every third
    ups = _ticks(picture.up, max(2, high // each + 1), columns // 3)
    gutter = max(_width(words) for _, words in ups)
    wide = columns - 2 - gutter
    acrosses = _ticks(picture.across, max(2, wide // (4 if picture.across.unit == "stars" else 12)), wide)
    cells = Counter[tuple[int, int]]()
    for x, y, plates in picture.points:
        cells[_at(picture.across, x, wide), _at(picture.up, y, high)] += plates
    steps = _steps(max(cells.values(), default=0))
    curve = "*" if simple else "hd"
    blank = [(value, "0" * gutter) for value, _ in ups]  # the library takes every sign for one cell
    drawn = _drawn(picture, columns, rows - 2, (wide, high), cells, steps, (acrosses, blank), curve)
    for value, words in ups:
        row = high - _at(picture.up, value, high)  # the first is the frame
        drawn[row] = _fit(" " * (gutter - _width(words)) + words, gutter) + drawn[row][gutter:]
    legend, name = _legend(picture, steps), plain(picture.up.label)
    head = name + "  " + _fit(legend, max(0, columns - _width(name) - 2), right=True)
    below = plain(picture.across.label)
    found = [head, *drawn, " " * ((columns - _width(below)) // 2) + below]
    if simple:
        found = [row.translate(_ASCII) for row in found]
    return [_fit(row, columns) for row in found]


def _width(words: str) -> int:
    """Return how many cells words take: a sign of some scripts takes two, or none."""
    from rich.cells import cell_len

    return len(words) if words.isascii() else cell_len(words)


def _fit(words: str, columns: int, right: bool = False) -> str:
    """Return words cut or padded to just so many cells."""
    from rich.cells import set_cell_size

    if right and _width(words) < columns:
        return " " * (columns - _width(words)) + words
    return set_cell_size(words, columns)


def _ticks(axis: Scale, most: int, longest: int) -> list[tuple[float, str]]:
    found = [(value, plain(words)) for value, words in axis.ticks(most)] or [
        (axis.least, axis.say(axis.least))
    ]
    return [
        (value, words if _width(words) <= longest else _fit(words, longest - 1) + "…")
        for value, words in found
    ]


def _at(axis: Scale, value: float, cells: int) -> int:
    """Return the cell of a value, counted from 0."""
    return max(0, min(cells - 1, math.floor(round(0.5 + (cells - 1) * axis.place(value), 8))))


def _steps(most: int) -> list[int]:
    """Return how many plates at one place each of `POINTS` begins with."""
    if most <= 3:
        return [0, 1, 2][: 2 + (most > 1)]  # a plate alone has the sign that is seen well
    second = max(2, round(most ** (1 / 3)))
    return [1, second, max(second + 1, round(most ** (2 / 3)))]


def _legend(picture: Picture, steps: list[int]) -> str:
    said = []
    if picture.points:
        told = [
            f"{sign} {least}{'+' if least > 1 else ''}"
            for sign, least in zip(POINTS, steps, strict=False)
            if least
        ]
        said.append("o a plate" if len(told) == 1 else " ".join(told) + " plates")
    if picture.line_name:
        said.append(f"{CURVE} {picture.line_name}")
    if picture.mark_name:
        said.append(f"{MARK} {picture.mark_name}")
    if picture.spans:
        upright = picture.spans[0][0][0] == picture.spans[0][1][0]
        said.append(f"{SPAN_UP if upright else SPAN_ACROSS} {picture.span_name}")
    return "   ".join(said)


def _drawn(
    picture: Picture,
    columns: int,
    rows: int,
    size: tuple[int, int],
    cells: Counter[tuple[int, int]],
    steps: list[int],
    ticks: tuple[list[tuple[float, str]], list[tuple[float, str]]],
    curve: str,
) -> list[str]:
    import plotext  # type: ignore[import-untyped]

    wide, high = size
    plotext.clear_figure()
    try:
        plotext.theme("clear")
        plotext.limit_size(False, False)
        plotext.plot_size(columns, rows)
        plotext.xlim(0, wide - 1)
        plotext.ylim(0, high - 1)
        plotext.xticks([_at(picture.across, value, wide) for value, _ in ticks[0]], [w for _, w in ticks[0]])
        plotext.yticks([_at(picture.up, value, high) for value, _ in ticks[1]], [w for _, w in ticks[1]])
        over = len(picture.points) > CROWDED
        for (x0, y0), (x1, y1) in picture.spans:
            plotext.plot(
                [_at(picture.across, x, wide) for x in (x0, x1)],
                [_at(picture.up, y, high) for y in (y0, y1)],
                marker=SPAN_UP if x0 == x1 else SPAN_ACROSS,
            )
        if not over:
            _curve(plotext, picture, wide, high, curve)
        for number, sign in enumerate(POINTS[: len(steps)]):
            least = steps[number]
            most = steps[number + 1] if number + 1 < len(steps) else math.inf
            some = [place for place, plates in cells.items() if least <= plates < most]
            if some:
                plotext.scatter([x for x, _ in some], [y for _, y in some], marker=sign)
        if over:
            _curve(plotext, picture, wide, high, curve)
        if picture.marks:
            plotext.scatter(
                [_at(picture.across, x, wide) for x, _ in picture.marks],
                [_at(picture.up, y, high) for _, y in picture.marks],
                marker=MARK,
            )
        text: str = plotext.uncolorize(plotext.build())
    finally:
        plotext.clear_figure()
    found = text.split("\n")[:rows]
    return found + [""] * (rows - len(found))


def _curve(plotext: Any, picture: Picture, wide: int, high: int, marker: str) -> None:
    if picture.line:
        across = [(wide - 1) * picture.across.place(x) for x, _ in picture.line]
        plotext.plot(across, [(high - 1) * picture.up.place(y) for _, y in picture.line], marker=marker)
