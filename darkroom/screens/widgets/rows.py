"""Rows of text as (text, meaning) spans: cut, padded and put side by side to just so many cells."""

from __future__ import annotations

Span = tuple[str, str]
Row = list[Span]


def fill(spans: Row, columns: int, meaning: str = "text") -> Row:
    """Return the spans cut or padded to exactly `columns` cells."""
    filled: Row = []
    left = columns
    for text, kind in spans:
        if left <= 0:
            break
        cut = clip(text, left)
        filled.append((cut, kind))
        left -= width(cut)
    if left > 0:
        filled.append((" " * left, meaning))
    return filled


def width(text: str) -> int:
    """Return how many cells the text takes."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def clip(text: str, columns: int) -> str:
    """Return the text cut to `columns` cells, with … where something is missing."""
    if width(text) <= columns:
        return text
    if text.isascii():
        return text[: columns - 1] + "…" if columns > 1 else text[:columns]
    from rich.cells import set_cell_size

    return set_cell_size(text, columns - 1) + "…" if columns > 1 else set_cell_size(text, columns)


def spread(left: Row, right: Row, columns: int) -> Row:
    """Return one row with `left` at its left end and `right` at its right end; the left gives way."""
    right_cells = sum(width(text) for text, _ in right)
    room = max(0, columns - right_cells - (1 if right else 0))
    return fill([*fill(left, room), (" " if right else "", "text"), *right], columns)
