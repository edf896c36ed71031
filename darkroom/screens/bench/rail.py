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
class Around:
    """What the face shows besides the plates: the last answer, saving, sound, keys."""

    answer: str | None = None
    answer_good: bool = True
    unsaved: tuple[str, ...] = ()
    notice: str | None = None
    keys: tuple[tuple[str, str], ...] = ()
    rehearsal: bool = False
    turn: int = 0
    lesson: str | None = None


def stage_word(view: PlateView) -> str:
    """Return the word for the large lettering."""
    if view.shape == "ended":
        return "FINISHED"
    if view.shape == "pause":
        return "CAP ON"
    return view.stage.large.upper()


def _beware(view: BenchView, around: Around, columns: int, rows: int) -> list[Row]:
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
        lines = wrap(text, columns)
        pages += [lines[at : at + rows] for at in range(0, len(lines), rows)]
    return [[(line, "loud")] for line in pages[around.turn % len(pages)]] if pages else []


def rail_rows(view: BenchView, around: Around, columns: int, rows: int) -> list[Row]:
    """The other plates, calling ones reversed, and the rack's count; cautions stand in the last rows."""
    entries = [rail_entry(other) for other in view.rail]
    if around.lesson is not None:
        return _lesson(around.lesson, entries, columns, rows)
    rack: Row = [(f"rack {view.rack}", "quiet")] if view.rack else []
    taken = 1 if (entries or rack) else 0
    beware = _beware(view, around, columns, max(1, min(2, rows - taken))) if rows > taken else []
    room = rows - len(beware)
    lines: list[Row] = [[] for _ in range(room)]
    used, line = 0, 0
    for text, meaning in entries:
        need = width(text) + 2
        if used + need > columns - (10 if line == 0 else 0):
            line, used = line + 1, 0
        if line >= room:
            break
        lines[line] += [(text, meaning), ("  ", "text")]
        used += need
    found = [spread(row, rack if index == 0 else [], columns) for index, row in enumerate(lines)]
    return found + [fill(row, columns) for row in beware]


def _lesson(text: str, entries: list[Span], columns: int, rows: int) -> list[Row]:
    """The instruction of a guided rehearsal, over as many rows as it takes, the plates behind it."""
    from textwrap import wrap

    lines: list[Row] = [[(line, "loud")] for line in wrap(text, columns - 1)]
    if entries and len(lines) < rows:
        lines.append([span for entry in entries for span in (entry, ("  ", "text"))])
    return [fill(row, columns) for row in lines[:rows]] + [fill([], columns)] * (rows - len(lines))


def keys_row(around: Around, columns: int) -> Row:
    """The keys that do something now, and whether everything is saved.

    The first key and the menu's stand before all others, and before the end of a long notice.
    """
    keys = [*around.keys[:1], *(one for one in around.keys[1:] if one[1] == MENU)]
    most = max(12, columns - sum(_cells(one) for one in keys) + len(GAP) - 1)
    if around.unsaved:
        right: Row = [(f" not saved: {', '.join(around.unsaved)} ", "reversed")]
    elif around.notice:
        right = [(clip(around.notice, most), "loud")]
    else:
        right = [("saved", "quiet")]
    room = columns - sum(width(text) for text, _ in right) - 1 + len(GAP)
    while keys and sum(map(_cells, keys)) > room:
        keys.pop()
    for one in around.keys:
        if one not in keys:
            if sum(map(_cells, keys)) + _cells(one) > room:
                break
            keys.append(one)
    left: Row = []
    for key, label in sorted(keys, key=around.keys.index):
        left += [(GAP if left else "", "quiet"), (key, "text"), (f" {label}", "quiet")]
    return spread(left, right, columns)


def _cells(key: tuple[str, str]) -> int:
    """Return how many cells a key, its label and the gap after them take."""
    return width(key[0]) + 1 + width(key[1]) + len(GAP)
