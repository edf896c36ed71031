"""The lines of why a plate failed as rows of a given width, for a terminal. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from darkroom.faults.words import Kind, Line

Width = Callable[[str], int]
STRENGTH = 14
"""The cells of the last column, at the right edge: "about 65 %", "strongly"."""
WIDEST = 78
"""Rows are no wider than this, so that a reason and its strength stay near each other."""
NARROW = 46
"""Below so many cells reasons are set in less."""
LEAST_ROOM = 12
"""With fewer cells for the words the strength stands below them."""
_TIE = "\u00a0"
_SIDES: dict[Kind, str] = {"for": "for", "against": "against", "neither": "neither"}


def laid_out(lines: Sequence[Line], columns: int, width: Width = len) -> list[tuple[Kind, str]]:
    """Return rows of (kind, text), none wider than `columns` cells (20 at least).

    Blank rows part the faults, the causes and the advice. `width` says how many cells a text takes.
    """
    columns = max(20, min(columns, WIDEST))
    rows: list[tuple[Kind, str]] = []
    number = 0
    before: Kind | None = None
    for line in lines:
        if before is not None and _parted(before, line.kind, number):
            rows.append((line.kind, ""))
        number += line.kind == "cause"
        rows += [(line.kind, text) for text in _rows(line, number, columns, width)]
        before = line.kind
    return rows


def wrap(text: str, columns: int, width: Width = len) -> list[str]:
    """Return a text broken at spaces into rows of so many cells; a longer word is broken as well.

    A number stays with its unit.
    """
    columns = max(1, columns)
    rows: list[str] = []
    row = ""
    for word in _together(text).split(" "):
        longer = f"{row} {word}" if row else word
        if width(longer) <= columns:
            row = longer
            continue
        if row:
            rows.append(row)
        row = ""
        for sign in word:
            if row and width(row + sign) > columns:
                rows.append(row)
                row = ""
            row += sign
    return [each.replace(_TIE, " ") for each in ([*rows, row] if row or not rows else rows)]


def _together(text: str) -> str:
    """Return a text whose units are tied to their numbers."""
    return " ".join(text.split()).replace(" °C", f"{_TIE}°C").replace(" %", f"{_TIE}%")


def _parted(before: Kind, kind: Kind, number: int) -> bool:
    """Return whether a blank row stands between two lines."""
    if kind == "fault" or (kind == "cause" and not number):
        return True
    return kind in ("advice", "unknown") or (kind == "usual" and before not in ("unanswered", "usual"))


def _rows(line: Line, number: int, columns: int, width: Width) -> Iterator[str]:
    indent = 3 if columns < NARROW else 5
    if line.kind == "cause":
        yield from _columns(f"{number}  ", line, columns, width)
    elif line.kind == "none":
        yield from _columns("   ", line, columns, width)
    elif line.kind in _SIDES:
        side = _SIDES[line.kind].ljust(8 if columns < NARROW else 11)
        yield from _columns(" " * indent + side, line, columns, width)
    elif line.kind == "silent" or (line.kind == "confirmed" and number):
        yield from _hanging(" " * indent, line.text, columns, width)
    elif line.kind in ("tally", "caution"):
        yield from _hanging("  ", line.text, columns, width)
    else:
        yield from wrap(line.text, columns, width)


def _hanging(lead: str, text: str, columns: int, width: Width) -> Iterator[str]:
    """Yield rows that are all set in; from the second on by two cells more."""
    for place, row in enumerate(wrap(text, columns - len(lead) - 2, width)):
        yield (lead if not place else " " * (len(lead) + 2)) + row


def _columns(lead: str, line: Line, columns: int, width: Width) -> Iterator[str]:
    """Yield the lead, the words and, at the end of the first row or below, the strength."""
    room = columns - len(lead) - STRENGTH
    if room < LEAST_ROOM:
        yield from _hanging(lead, line.text, columns, width)
        yield from _hanging("  ", line.strength, columns, width) if line.strength else ()
        return
    for place, row in enumerate(wrap(line.text, room, width)):
        start = lead if not place else " " * len(lead)
        strength = line.strength if not place else ""
        gap = " " * (room - width(row) + (STRENGTH - len(strength))) if strength else ""
        yield f"{start}{row}{gap}{strength}"
