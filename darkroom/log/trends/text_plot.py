"""A picture as rows of plain text, drawn by plotext; shapes differ by their signs, never by colour."""

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
    """Return whether a plot of that size can be read."""
    return columns >= LEAST_COLUMNS and rows >= LEAST_ROWS


def plot(picture: Picture, columns: int, rows: int, simple: bool = False) -> list[str]:
    """Return exactly `rows` rows of `columns` cells, without any colour code.

    A `simple` plot is for a terminal that has no signs for drawing: all of it is ASCII but for words.
    """
    if not fits(columns, rows):
        return [_fit("too small a window for a plot" if not n else "", columns) for n in range(rows)]
    height = rows - 5  # the words above and below, the frame, the figures
    rows_per_tick = 1 if picture.up.unit == "stars" else 3
    y_ticks = _ticks(picture.up, max(2, height // rows_per_tick + 1), columns // 3)
    gutter = max(_width(text) for _, text in y_ticks)
    width = columns - 2 - gutter
    x_ticks = _ticks(picture.across, max(2, width // (4 if picture.across.unit == "stars" else 12)), width)
    cells = Counter[tuple[int, int]]()
    for x, y, plates in picture.points:
        cells[_at(picture.across, x, width), _at(picture.up, y, height)] += plates
    steps = _steps(max(cells.values(), default=0))
    curve = "*" if simple else "hd"
    blank = [(value, "0" * gutter) for value, _ in y_ticks]  # the library takes every sign for one cell
    drawn = _drawn(picture, columns, rows - 2, (width, height), cells, steps, (x_ticks, blank), curve)
    for value, text in y_ticks:
        row = height - _at(picture.up, value, height)  # the first is the frame
        drawn[row] = _fit(" " * (gutter - _width(text)) + text, gutter) + drawn[row][gutter:]
    _put_signs(picture, drawn, height + 1, gutter + 1, width)
    legend, name = _legend(picture, steps), plain(picture.up.label)
    heading = name + "  " + _fit(legend, max(0, columns - _width(name) - 2), right=True)
    x_label = plain(picture.across.label)
    plot_rows = [heading, *drawn, " " * ((columns - _width(x_label)) // 2) + x_label]
    if simple:
        plot_rows = [row.translate(_ASCII) for row in plot_rows]
    return [_fit(row, columns) for row in plot_rows]


def _width(text: str) -> int:
    """Return how many cells words take: a sign of some scripts takes two, or none."""
    from rich.cells import cell_len

    return len(text) if text.isascii() else cell_len(text)


def _fit(text: str, columns: int, right: bool = False) -> str:
    """Return words cut or padded to just so many cells."""
    from rich.cells import set_cell_size

    if right and _width(text) < columns:
        return " " * (columns - _width(text)) + text
    return set_cell_size(text, columns)


def _ticks(axis: Scale, most: int, longest: int) -> list[tuple[float, str]]:
    ticks = [(value, plain(text)) for value, text in axis.ticks(most)] or [(axis.least, axis.say(axis.least))]
    return [
        (value, text if _width(text) <= longest else _fit(text, longest - 1) + "…") for value, text in ticks
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
    parts = []
    if picture.points:
        point_signs = [
            f"{sign} {least}{'+' if least > 1 else ''}"
            for sign, least in zip(POINTS, steps, strict=False)
            if least
        ]
        parts.append("o a plate" if len(point_signs) == 1 else " ".join(point_signs) + " plates")
    if picture.line_name:
        parts.append(f"{CURVE} {picture.line_name}")
    if picture.mark_name:
        parts.append(f"{MARK} {picture.mark_name}")
    if picture.spans:
        upright = picture.spans[0][0][0] == picture.spans[0][1][0]
        parts.append(f"{SPAN_UP if upright else SPAN_ACROSS} {picture.span_name}")
    return "   ".join(parts)


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

    width, height = size
    plotext.clear_figure()
    try:
        plotext.theme("clear")
        plotext.limit_size(False, False)
        plotext.plot_size(columns, rows)
        plotext.xlim(0, width - 1)
        plotext.ylim(0, height - 1)
        plotext.xticks([_at(picture.across, value, width) for value, _ in ticks[0]], [w for _, w in ticks[0]])
        plotext.yticks([_at(picture.up, value, height) for value, _ in ticks[1]], [w for _, w in ticks[1]])
        curve_on_top = len(picture.points) > CROWDED
        for (x0, y0), (x1, y1) in picture.spans:
            plotext.plot(
                [_at(picture.across, x, width) for x in (x0, x1)],
                [_at(picture.up, y, height) for y in (y0, y1)],
                marker=SPAN_UP if x0 == x1 else SPAN_ACROSS,
            )
        if not curve_on_top:
            _curve(plotext, picture, width, height, curve)
        for number, sign in enumerate(POINTS[: len(steps)]):
            least = steps[number]
            most = steps[number + 1] if number + 1 < len(steps) else math.inf
            places = [place for place, plates in cells.items() if least <= plates < most]
            if places:
                plotext.scatter([x for x, _ in places], [y for _, y in places], marker=sign)
        if curve_on_top:
            _curve(plotext, picture, width, height, curve)
        if picture.marks:
            plotext.scatter(
                [_at(picture.across, x, width) for x, _ in picture.marks],
                [_at(picture.up, y, height) for _, y in picture.marks],
                marker=MARK,
            )
        text: str = plotext.uncolorize(plotext.build())
    finally:
        plotext.clear_figure()
    plot_rows = text.split("\n")[:rows]
    return plot_rows + [""] * (rows - len(plot_rows))


def _put_signs(picture: Picture, drawn: list[str], row: int, left: int, width: int) -> None:
    """Put letters on the axis across, each at its place or at the next free one to its right, else left."""
    taken: dict[int, str] = {}
    for value, sign in picture.signs:
        place = _at(picture.across, value, width)
        free = [cell for cell in (*range(place, width), *range(place - 1, -1, -1)) if cell not in taken]
        if free:
            taken[free[0]] = sign
    for cell, sign in taken.items():
        drawn[row] = drawn[row][: left + cell] + sign + drawn[row][left + cell + 1 :]


def _curve(plotext: Any, picture: Picture, width: int, height: int, marker: str) -> None:
    if picture.line:
        x_cells = [(width - 1) * picture.across.place(x) for x, _ in picture.line]
        plotext.plot(x_cells, [(height - 1) * picture.up.place(y) for _, y in picture.line], marker=marker)
