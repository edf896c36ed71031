"""A page for a terminal that has no block characters: the same shapes of signs that every terminal has. Pure.

A bar is background alone, so that it needs no letter; what is less than half a cell stands as an upright.
"""

from __future__ import annotations

from darkroom.screens.widgets import cell_bars
from darkroom.screens.widgets.rows import Row

SIGNS = {
    cell_bars.PLANNED: "-",
    cell_bars.USUAL: ".",
    cell_bars.PLAN_END: "|",
    cell_bars.USUAL_END: ":",
    cell_bars.BREAK: "/",
    cell_bars.STRIKE: "'",
    "┬": "+",
    "−": "-",
    "–": "-",
    "·": ",",
    "←": "<",
    "…": ".",
    "‹": "<",
    "›": ">",
}
BAR_SIGNS = {cell_bars.CALLED: "=", cell_bars.TOLD: "~"}
"""Signs on the bar's own ground."""


def in_ascii(rows: list[Row]) -> list[Row]:
    """Return the rows with as many cells, every drawn sign one of ASCII; words keep their letters."""
    return [[piece for text, kind in row for piece in _span(text, kind)] for row in rows]


def _span(text: str, kind: str) -> Row:
    if text.isascii():
        return [(text, kind)]
    spans: Row = []
    for sign in text:
        ascii_sign, meaning = _sign(sign, kind)
        if spans and spans[-1][1] == meaning:
            spans[-1] = (spans[-1][0] + ascii_sign, meaning)
        else:
            spans.append((ascii_sign, meaning))
    return spans


def _sign(sign: str, kind: str) -> tuple[str, str]:
    if sign in cell_bars.LEFT and sign != " ":
        size = cell_bars.LEFT.index(sign)
        filled = 8 - size if kind == "reversed" else size
        return (" ", "reversed") if filled >= 4 else ("|", "text")
    if sign in cell_bars.HEIGHTS and sign != " ":
        return (" ", "reversed") if cell_bars.HEIGHTS.index(sign) >= 4 else ("_", kind)
    if sign in BAR_SIGNS:
        return BAR_SIGNS[sign], "reversed"
    if 0x2800 <= ord(sign) <= 0x28FF:
        return "-", kind
    return SIGNS.get(sign, sign), kind
