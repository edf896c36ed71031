"""Drawing along a row of cells: bars with eighths of a cell at their ends, lines, single signs. Pure."""

from __future__ import annotations

from darkroom.screens.widgets.rows import Row

LEFT = " ▏▎▍▌▋▊▉█"
"""A cell filled from its left, in eighths; turned over it is filled from its right."""
HEIGHTS = " ▁▂▃▄▅▆▇█"
"""A cell filled from below, in eighths."""
OBSERVED, CALLED, TOLD = "█", "▓", "░"
FILLS = {"observed": OBSERVED, "called": CALLED, "told later": TOLD}
PLANNED, USUAL = "─", "┄"
PLAN_END, USUAL_END = "│", "┊"
BREAK = "╱"
STRIKE = "╵"


class Strip:
    """A row of `cells` cells to draw on; places are cells from its left end, and may be broken."""

    def __init__(self, cells: int) -> None:
        self.cells = cells
        self.signs = [" "] * cells
        self.kinds = ["text"] * cells

    def put(self, place: float, sign: str, kind: str = "text") -> None:
        """Put one sign into the cell of a place."""
        cell = self.cell(place)
        self.signs[cell], self.kinds[cell] = sign, kind

    def cell(self, place: float) -> int:
        """Return the cell of a place; the end of the row belongs to its last cell."""
        return max(0, min(int(place), self.cells - 1))

    def filled(self, place: float) -> bool:
        """Whether a bar stands there."""
        return self.signs[self.cell(place)] not in (" ", PLANNED, USUAL)

    def line(self, begin: float, end: float, sign: str, kind: str) -> None:
        """Draw a thin line of whole cells, one at least."""
        first = self.cell(round(begin))
        for cell in range(first, max(first + 1, min(round(end), self.cells))):
            self.signs[cell], self.kinds[cell] = sign, kind

    def bar(self, begin: float, end: float, fill: str, kind: str) -> None:
        """Draw a bar: a solid one to the eighth of a cell, a shaded one in whole cells; never nothing."""
        if fill != OBSERVED:
            self.line(begin, end, fill, kind)
            return
        row_eighths = 8 * self.cells
        first = min(round(8 * begin), row_eighths - 1)
        last = min(max(first + 1, round(8 * end)), row_eighths)
        for cell in range(first // 8, (last + 7) // 8):
            low, high = max(first - 8 * cell, 0), min(last - 8 * cell, 8)
            self.signs[cell], self.kinds[cell] = _piece(low, high, kind)

    def over(self, place: float, sign: str) -> None:
        """Put a sign on a bar, cut out of it; nothing where no bar stands."""
        if self.filled(place):
            self.put(place, sign, "reversed")

    def write(self, place: float, text: str, kind: str) -> None:
        """Write words where there is room for all of them, with a free cell before and after."""
        first = self.cell(place)
        cells_around = self.signs[max(0, first - 1) : first + len(text) + 1]
        if first + len(text) <= self.cells and not "".join(cells_around).strip():
            for offset, sign in enumerate(text):
                self.signs[first + offset], self.kinds[first + offset] = sign, kind

    def row(self) -> Row:
        """Return the row, cells of one kind together."""
        spans: Row = []
        for sign, kind in zip(self.signs, self.kinds, strict=True):
            if spans and spans[-1][1] == kind:
                spans[-1] = (spans[-1][0] + sign, kind)
            else:
                spans.append((sign, kind))
        return spans


def _piece(low: int, high: int, kind: str) -> tuple[str, str]:
    """Return the cell that is filled from `low` to `high` eighths.

    What touches neither end of its cell is drawn at the nearer one.
    """
    size = high - low
    if size == 8:
        return OBSERVED, kind
    if low <= 8 - high:
        return LEFT[size], kind
    return LEFT[8 - size], "reversed"
