"""The lower rows of the bench: the other plates, what to beware of, the lesson, the keys."""

from __future__ import annotations

import re
from collections.abc import Sequence
from textwrap import wrap

from msgspec import Struct

from darkroom.bench.view import BenchView, PlateView
from darkroom.screens.widgets.plate_summary import rail_entry
from darkroom.screens.widgets.rows import Row, clip, fill, spread, width
from darkroom.session.actions import BY_ID

GAP = "   "
MENU = BY_ID["menu"].label
SILENT = "no sound"
"""How every notice of a silent tool begins; it is all that the bench tells of it."""


class BenchStatus(Struct, frozen=True):
    """What the face shows besides the plates: the last answer, saving, sound, keys, the menu's proposal."""

    answer: str | None = None
    answer_good: bool = True
    unsaved: tuple[str, ...] = ()
    notice: str | None = None
    keys: tuple[tuple[str, str], ...] = ()
    rehearsal: bool = False
    caution_page: int = 0
    lesson: str | None = None
    proposed: str | None = None
    clearing: str | None = None
    """What the time in which the large plate cleared tells of its fixer, where that is worth a word."""


def in_order(plates: tuple[PlateView, ...]) -> list[PlateView]:
    """Return the plates of the rail: the wet ones first, the least time left before the others."""
    return sorted(plates, key=lambda plate: (plate.wet is None, plate.wet.left if plate.wet else 0.0))


def rail_rows(view: BenchView, columns: int, rows: int) -> list[Row]:
    """Return the other plates over `rows` rows, calling ones reversed, the rack's count at the right.

    Plates that find no place are counted: "+2".
    """
    if not rows:
        return []
    rack = f"rack {view.rack}" if view.rack else ""
    entries = [rail_entry(other, columns - width(rack) - 6) for other in in_order(view.rail)]
    rail: list[Row] = [[] for _ in range(rows)]
    at, used, shown = 0, 0, 0
    for text, meaning in entries:
        room = columns - (width(rack) + 6 if at == rows - 1 else 0)
        if used + width(text) > room and used:
            at, used = at + 1, 0
        if at >= rows:
            break
        rail[at] += [(clip(text, columns - width(rack) - 6), meaning), (" ", "text")]
        used += width(text) + 1
        shown += 1
    more = [(f"+{len(entries) - shown} ", "reversed")] if shown < len(entries) else []
    last: Row = [*more, (rack, "text")] if rack or more else []
    return [spread(row, last if index == rows - 1 else [], columns) for index, row in enumerate(rail)]


def caution_rows(texts: Sequence[str], page: int, columns: int, rows: int) -> list[Row]:
    """Return the cautions over `rows` rows; what finds no row comes in its turn: none is cut."""
    pages = [lines for text in texts for lines in sentence_pages(text, columns, rows)]
    shown = pages[page % len(pages)] if pages else []
    return [fill([(line, "loud")], columns) for line in shown] + [fill([], columns)] * (rows - len(shown))


def sentence_pages(
    text: str, columns: int, rows: int = 1, ends: Sequence[str] = (".!?", ":;,")
) -> list[list[str]]:
    """Return a caution as pages of at most `rows` lines: by whole sentences, as many as a page holds.

    A sentence too long for a page comes by its clauses, and a clause too long for one by words.
    """
    if len(lines := wrap(text, columns)) <= rows:
        return [lines] if lines else []
    if not ends:
        return [lines[first : first + rows] for first in range(0, len(lines), rows)]
    pages: list[list[str]] = []
    held = ""
    for part in re.split(rf"(?<=[{ends[0]}])\s+", text):
        joined = f"{held} {part}" if held else part
        if len(wrap(joined, columns)) <= rows:
            held = joined
            continue
        if held:
            pages.append(wrap(held, columns))
        held = part if len(wrap(part, columns)) <= rows else ""
        if not held:
            pages += sentence_pages(part, columns, rows, ends[1:])
    return [*pages, wrap(held, columns)] if held else pages


def lesson_lines(text: str | None, columns: int) -> list[str]:
    """Return the instruction of a guided rehearsal as lines."""
    return wrap(text, columns - 1) if text else []


def keys_row(status: BenchStatus, columns: int) -> Row:
    """The keys that do something now, and whether everything is saved.

    The first key and the menu's stand before all others, and before the end of a long notice. A silent tool
    says so in two words.
    """
    keys = [*status.keys[:1], *(pair for pair in status.keys[1:] if pair[1] == MENU)]
    notice_cells = max(12, columns - sum(_cells(pair) for pair in keys) + len(GAP) - 1)
    if status.unsaved:
        right: Row = [(f" not saved: {', '.join(status.unsaved)} ", "reversed")]
    elif status.notice:
        silent = status.notice.startswith(SILENT) and not status.notice.startswith(f"{SILENT};")
        right = [(SILENT if silent else clip(status.notice, notice_cells), "loud")]
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
        left += [(GAP if left else "", "quiet"), (f"{key}:", "loud"), (f" {label}", "text")]
    return spread(left, right, columns)


def _cells(key: tuple[str, str]) -> int:
    """Return how many cells a key, its label and the gap after them take."""
    return width(key[0]) + 2 + width(key[1]) + len(GAP)
