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


def page(first: PlateRecord, second: PlateRecord, found: list[Difference], columns: int) -> list[Row]:
    """Return the rows: what differs, the two values, and a bar for how big the difference is."""
    names = [(_name(first), _name(second))]
    whats = [plain(one.what) for one in found]
    what = min(max((width(text) for text in whats), default=4), max(14, columns // 3))
    each = max(4, (columns - what - BAR - 4) // 2)

    def row(text: str, one: str, other: str, bar: str, kind: str) -> Row:
        return [
            (_cell(text, what) + "  ", "quiet"),
            (_cell(one, each) + " " + _cell(other, each), kind),
            (" " + bar, "quiet"),
        ]

    rows: list[Row] = [row("", one, other, "", "loud") for one, other in names]
    rows.append(row("", day_words(first.log.local_date), day_words(second.log.local_date), "", "text"))
    rows.append([])
    for text, one in zip(whats, found, strict=True):
        rows.append(row(text, _value(one.first, one), _value(one.second, one), _bar(one.weight), "text"))
    if not found:
        rows.append([("Nothing differs in what the two journals say.", "text")])
    return rows


def _name(record: PlateRecord) -> str:
    return f"{record.title}, {plain(record.process or '?')}"


def _value(value: object, one: Difference) -> str:
    return plain(shown(value, one.unit))  # type: ignore[arg-type]


def _cell(words: str, size: int) -> str:
    words = clip(words, size)
    return words + " " * (size - width(words))


def _bar(weight: float) -> str:
    """Return a bar in eighths of a cell."""
    eighths = max(1, min(8 * BAR, round(8 * BAR * weight / FULL)))
    part = " ▏▎▍▌▋▊▉"[eighths % 8].strip()
    return "█" * (eighths // 8) + part


class ComparisonScreen(Page):
    """The plates whose first files are `first` and `second`; the journals are read when it opens."""

    def __init__(self, first: Path, second: Path) -> None:
        super().__init__()
        self.record = read_record(first), read_record(second)
        self.found = differences(*self.record)
        self.top = 0
        self._room = 1

    def heading(self) -> tuple[str, str]:
        """What this is, and how much differs."""
        return "SIDE BY SIDE", f"{len(self.found)} things differ, the biggest first"

    def keys(self) -> list[tuple[str, str]]:
        """Scrolling alone."""
        return [("up down", "scroll"), ("left right", "exchange the two")]

    def pressed(self, key: str, character: str | None) -> bool:
        """Scroll; exchange the two."""
        steps = {"up": -1, "down": 1, "pageup": -self._room, "pagedown": self._room, "home": -(1 << 20),
                 "end": 1 << 20}  # fmt: skip
        if key in ("left", "right"):
            self.record = self.record[1], self.record[0]
            self.found = differences(*self.record)
        elif key in steps:
            self.top += steps[key]
        else:
            return False
        return True

    def body(self, columns: int, rows: int) -> list[Row]:
        """The names stay, what differs scrolls."""
        drawn = page(*self.record, self.found, columns)
        if self.tool.blocks == "spaces":
            drawn = in_ascii(drawn)
        head, rest = drawn[:3], drawn[3:]
        self._room = max(1, rows - len(head) - 1)
        self.top = max(0, min(self.top, len(rest) - self._room))
        shown_rows = rest[self.top : self.top + self._room]
        below = len(rest) - self.top - len(shown_rows)
        more: Row = [(f"{below} more below", "quiet")] if below > 0 else []
        return [*head, *shown_rows, fill(more, columns)]
