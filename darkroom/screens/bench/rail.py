"""The lower rows of the bench: the other plates, what to beware of, the keys; and times as they are drawn."""

from __future__ import annotations

from dataclasses import dataclass

from darkroom.bench.view import BenchView, PlateView
from darkroom.screens.widgets.plate_summary import rail_entry
from darkroom.screens.widgets.rows import Row, Span, clip, fill, spread, width
from darkroom.session.actions import BY_ID

GAP = "   "
MENU = BY_ID["menu"].label


@dataclass(frozen=True, slots=True)
class BenchStatus:
    """What the face shows besides the plates: the last answer, saving, sound, keys."""

    answer: str | None = None
    answer_good: bool = True
    unsaved: tuple[str, ...] = ()
    notice: str | None = None
    keys: tuple[tuple[str, str], ...] = ()
    rehearsal: bool = False
    caution_page: int = 0
    lesson: str | None = None


def stage_word(view: PlateView) -> str:
    """Return the word for the large lettering."""
    if view.shape == "ended":
        return "FINISHED"
    if view.shape == "pause":
        return "CAP ON"
    return view.stage.large.upper()


def _beware(view: BenchView, status: BenchStatus, columns: int, rows: int) -> list[Row]:
    """The cautions of the next step and of the bench, one after the other; a long one over several rows.

    What finds no row comes in its turn: no caution is cut.
    """
    from textwrap import wrap

    texts = list(view.clashes)
    if view.cyanide:
        texts.append("Cyanide on the bench: no acid near it, never alone, not in a closed dark box.")
    if view.large is not None:
        texts += view.large.cautions
    pages = []
    for text in texts:
        caution_lines = wrap(text, columns)
        pages += [caution_lines[first : first + rows] for first in range(0, len(caution_lines), rows)]
    return [[(line, "loud")] for line in pages[status.caution_page % len(pages)]] if pages else []


def rail_rows(view: BenchView, status: BenchStatus, columns: int, rows: int) -> list[Row]:
    """The other plates, calling ones reversed, and the rack's count; cautions stand in the last rows."""
    entries = [rail_entry(other) for other in view.rail]
    if status.lesson is not None:
        return _lesson(status.lesson, entries, columns, rows)
    rack: Row = [(f"rack {view.rack}", "quiet")] if view.rack else []
    taken_rows = 1 if (entries or rack) else 0
    beware = _beware(view, status, columns, max(1, min(2, rows - taken_rows))) if rows > taken_rows else []
    room = rows - len(beware)
    rail: list[Row] = [[] for _ in range(room)]
    used, row_index = 0, 0
    for text, meaning in entries:
        need = width(text) + 2
        if used + need > columns - (10 if row_index == 0 else 0):
            row_index, used = row_index + 1, 0
        if row_index >= room:
            break
        rail[row_index] += [(text, meaning), ("  ", "text")]
        used += need
    plate_rows = [spread(row, rack if index == 0 else [], columns) for index, row in enumerate(rail)]
    return plate_rows + [fill(row, columns) for row in beware]


def _lesson(text: str, entries: list[Span], columns: int, rows: int) -> list[Row]:
    """The instruction of a guided rehearsal, over as many rows as it takes, the plates behind it."""
    from textwrap import wrap

    lines: list[Row] = [[(line, "loud")] for line in wrap(text, columns - 1)]
    if entries and len(lines) < rows:
        lines.append([span for entry in entries for span in (entry, ("  ", "text"))])
    return [fill(row, columns) for row in lines[:rows]] + [fill([], columns)] * (rows - len(lines))


def keys_row(status: BenchStatus, columns: int) -> Row:
    """The keys that do something now, and whether everything is saved.

    The first key and the menu's stand before all others, and before the end of a long notice.
    """
    keys = [*status.keys[:1], *(pair for pair in status.keys[1:] if pair[1] == MENU)]
    notice_cells = max(12, columns - sum(_cells(pair) for pair in keys) + len(GAP) - 1)
    if status.unsaved:
        right: Row = [(f" not saved: {', '.join(status.unsaved)} ", "reversed")]
    elif status.notice:
        right = [(clip(status.notice, notice_cells), "loud")]
    else:
        right = [("saved", "quiet")]
    room = columns - sum(width(text) for text, _ in right) - 1 + len(GAP)
    while keys and sum(map(_cells, keys)) > room:
        keys.pop()
    for pair in status.keys:
        if pair not in keys:
            if sum(map(_cells, keys)) + _cells(pair) > room:
                break
            keys.append(pair)
    left: Row = []
    for key, label in sorted(keys, key=status.keys.index):
        left += [(GAP if left else "", "quiet"), (key, "text"), (f" {label}", "quiet")]
    return spread(left, right, columns)


def _cells(key: tuple[str, str]) -> int:
    """Return how many cells a key, its label and the gap after them take."""
    return width(key[0]) + 1 + width(key[1]) + len(GAP)
