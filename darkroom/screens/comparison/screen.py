"""Two plates side by side: only what differs, the biggest difference first."""

from __future__ import annotations

from pathlib import Path

from darkroom.log.plate.comparison import Difference, differences, shown
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.process.text.plain_text import plain
from darkroom.screens.log_list.plate_rows import day_words
from darkroom.screens.widgets.ascii_page import in_ascii
from darkroom.screens.widgets.page import Page
from darkroom.screens.widgets.rows import Row, clip, fill, width

BAR = 8
"""A bar of so many cells is a difference of `FULL`."""
FULL = 2.0


def page(first: PlateRecord, second: PlateRecord, differing: list[Difference], columns: int) -> list[Row]:
    """Return the rows: what differs, the two values, and a bar for how big the difference is."""
    labels = [plain(difference.what) for difference in differing]
    label_cells = min(max(map(width, labels), default=4), max(14, columns // 3))
    value_cells = max(4, (columns - label_cells - BAR - 4) // 2)

    def row(label: str, first_text: str, second_text: str, bar: str, kind: str) -> Row:
        return [
            (_cell(label, label_cells) + "  ", "quiet"),
            (_cell(first_text, value_cells) + " " + _cell(second_text, value_cells), kind),
            (" " + bar, "quiet"),
        ]

    rows: list[Row] = [row("", _name(first), _name(second), "", "loud")]
    rows.append(row("", day_words(first.log.local_date), day_words(second.log.local_date), "", "text"))
    rows.append([])
    for label, difference in zip(labels, differing, strict=True):
        first_text, second_text = _value(difference.first, difference), _value(difference.second, difference)
        rows.append(row(label, first_text, second_text, _bar(difference.weight), "text"))
    if not differing:
        rows.append([("Nothing differs in what the two journals say.", "text")])
    return rows


def _name(record: PlateRecord) -> str:
    return f"{record.title}, {plain(record.process or '?')}"


def _value(value: object, difference: Difference) -> str:
    return plain(shown(value, difference.unit))  # type: ignore[arg-type]


def _cell(text: str, size: int) -> str:
    text = clip(text, size)
    return text + " " * (size - width(text))


def _bar(weight: float) -> str:
    """Return a bar in eighths of a cell."""
    eighths = max(1, min(8 * BAR, round(8 * BAR * weight / FULL)))
    partial_block = " ▏▎▍▌▋▊▉"[eighths % 8].strip()
    return "█" * (eighths // 8) + partial_block


class ComparisonScreen(Page):
    """The plates whose first files are `first` and `second`; the journals are read when it opens."""

    def __init__(self, first: Path, second: Path) -> None:
        super().__init__()
        self.record = read_record(first), read_record(second)
        self.differences = differences(*self.record)
        self.top = 0
        self._room = 1

    def heading(self) -> tuple[str, str]:
        """What this is, and how much differs."""
        return "SIDE BY SIDE", f"{len(self.differences)} things differ, the biggest first"

    def keys(self) -> list[tuple[str, str]]:
        """Scrolling alone."""
        return [("up down", "scroll"), ("left right", "exchange the two")]

    def pressed(self, key: str, character: str | None) -> bool:
        """Scroll; exchange the two."""
        steps = {"up": -1, "down": 1, "pageup": -self._room, "pagedown": self._room, "home": -(1 << 20),
                 "end": 1 << 20}  # fmt: skip
        if key in ("left", "right"):
            self.record = self.record[1], self.record[0]
            self.differences = differences(*self.record)
        elif key in steps:
            self.top += steps[key]
        else:
            return False
        return True

    def body(self, columns: int, rows: int) -> list[Row]:
        """The names stay, what differs scrolls."""
        page_rows = page(*self.record, self.differences, columns)
        if self.tool.blocks == "spaces":
            page_rows = in_ascii(page_rows)
        head, rest = page_rows[:3], page_rows[3:]
        self._room = max(1, rows - len(head) - 1)
        self.top = max(0, min(self.top, len(rest) - self._room))
        shown_rows = rest[self.top : self.top + self._room]
        below = len(rest) - self.top - len(shown_rows)
        more_row: Row = [(f"{below} more below", "quiet")] if below > 0 else []
        return [*head, *shown_rows, fill(more_row, columns)]
