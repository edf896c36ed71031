"""The one widget of a screen that is drawn as rows: only rows that changed are painted again."""

from __future__ import annotations

from collections.abc import Callable

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from darkroom.screens.widgets.rows import Row


class Face(Widget):
    """The whole screen as rows; only rows that changed are painted again."""

    DEFAULT_CSS = "Face { width: 100%; height: 100%; }"
    can_focus = False

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[Row] = []
        self._strips: list[Strip] = []
        self.brightness_key: object = None

    def put(self, rows: list[Row], style_of: Callable[[str], Style], key: object) -> None:
        """Show these rows; `key` names the brightness they are styled for."""
        old = self._rows if key == self.brightness_key else []
        width = self.size.width
        if len(rows) != len(self._strips):
            old = []
            self._strips = [Strip.blank(width)] * len(rows)
        changed = [y for y, row in enumerate(rows) if y >= len(old) or old[y] != row]
        for y in changed:
            segments = [Segment(text, style_of(meaning)) for text, meaning in rows[y] if text]
            self._strips[y] = Strip(segments)
        self._rows, self.brightness_key = rows, key
        if changed:
            self.refresh(*_regions(changed, width))

    def render_line(self, y: int) -> Strip:
        """Return one row of the face."""
        if y < len(self._strips):
            return self._strips[y].adjust_cell_length(self.size.width)
        return Strip.blank(self.size.width)


def _regions(rows: list[int], width: int) -> list[Region]:
    """Rows that touch become one region."""
    regions: list[Region] = []
    for y in rows:
        if regions and regions[-1].bottom == y:
            regions[-1] = Region(0, regions[-1].y, width, regions[-1].height + 1)
        else:
            regions.append(Region(0, y, width, 1))
    return regions
