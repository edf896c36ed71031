"""A terminal screen as an SVG picture, drawn cell by cell, so that it needs no special font."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from html import escape
from typing import NamedTuple

CELL_WIDTH, CELL_HEIGHT = 9, 18


class Cell(NamedTuple):
    """One cell: its character and its colours as RRGGBB."""

    text: str
    foreground: str
    background: str


def svg(rows: Sequence[Sequence[Cell]], ground: str = "000000") -> str:
    """Return the picture of the rows; `ground` is the colour behind cells of that background."""
    columns = max(len(row) for row in rows)
    width, height = columns * CELL_WIDTH, len(rows) * CELL_HEIGHT
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" '
        f'height="{height}" font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="15">',
        f'<rect width="{width}" height="{height}" fill="#{ground}"/>',
    ]
    for y, row in enumerate(rows):
        parts += _backgrounds(row, y, ground)
        parts += _texts(row, y)
    return "\n".join([*parts, "</svg>", ""])


def _runs(row: Sequence[Cell], key: int) -> Iterable[tuple[int, list[Cell]]]:
    start, run = 0, list(row[:1])
    for x, cell in enumerate(row[1:], start=1):
        if cell[key] == run[-1][key]:
            run.append(cell)
        else:
            yield start, run
            start, run = x, [cell]
    yield start, run


def _rectangle(x: int, y: float, cells: int, height: float, colour: str) -> str:
    return (
        f'<rect x="{x * CELL_WIDTH}" y="{y:g}" width="{cells * CELL_WIDTH}" height="{height:g}" '
        f'fill="#{colour}" shape-rendering="crispEdges"/>'
    )


def _backgrounds(row: Sequence[Cell], y: int, ground: str) -> list[str]:
    return [
        _rectangle(x, y * CELL_HEIGHT, len(run), CELL_HEIGHT, run[0].background)
        for x, run in _runs(row, 2)
        if run[0].background != ground
    ]


def _texts(row: Sequence[Cell], y: int) -> list[str]:
    parts: list[str] = []
    half = CELL_HEIGHT / 2
    blocks = {"▀": (0.0, half), "▄": (half, half), "█": (0.0, float(CELL_HEIGHT))}
    x = 0
    while x < len(row):
        cell = row[x]
        same = 1
        while x + same < len(row) and row[x + same][:2] == cell[:2] and cell.text in blocks:
            same += 1
        if cell.text in blocks:
            top, height = blocks[cell.text]
            parts.append(_rectangle(x, y * CELL_HEIGHT + top, same, height, cell.foreground))
        elif _dots(cell.text):
            run, path = x, ""
            while (
                run < len(row) and row[run].foreground == cell.foreground and (dots := _dots(row[run].text))
            ):
                path += "".join(
                    f"M{run * CELL_WIDTH + left:g} {y * CELL_HEIGHT + top:g}h{width:g}v{height:g}h{-width:g}z"
                    for left, top, width, height in dots
                )
                run += 1
            same = run - x
            parts.append(f'<path d="{path}" fill="#{cell.foreground}"/>')
        elif cell.text.strip():
            run = x
            while (
                run < len(row) and row[run].foreground == cell.foreground and _is_text(row[run].text, blocks)
            ):
                run += 1
            text = "".join(c.text or " " for c in row[x:run]).rstrip()
            same = run - x
            parts.append(
                f'<text x="{x * CELL_WIDTH}" y="{y * CELL_HEIGHT + 14}" fill="#{cell.foreground}" '
                f'textLength="{len(text) * CELL_WIDTH}" xml:space="preserve">{escape(text)}</text>'
            )
        x += same
    return parts


def _is_text(sign: str, blocks: Collection[str]) -> bool:
    return sign not in blocks and not _dots(sign)


def _dots(sign: str) -> list[tuple[float, float, float, float]]:
    """Return what fonts often lack as (left, top, width, height) in the cell: Braille, bars of some eighths.

    Braille dots are numbered 1 2 3 7 down the left column and 4 5 6 8 down the right (Unicode 2800 to 28FF).
    """
    code = ord(sign) if len(sign) == 1 else 0
    if 0x2589 <= code <= 0x258F:
        return [(0.0, 0.0, CELL_WIDTH * (0x2590 - code) / 8, float(CELL_HEIGHT))]
    if not 0x2800 < code <= 0x28FF:
        return []
    places = {0: (0, 0), 1: (0, 1), 2: (0, 2), 3: (1, 0), 4: (1, 1), 5: (1, 2), 6: (0, 3), 7: (1, 3)}
    return [
        (1.75 + 4.0 * column, 2.0 + 4.0 * line, 1.5, 1.5)
        for bit, (column, line) in places.items()
        if code >> bit & 1
    ]
