"""Words of any length as rows of a page: broken at spaces, and facts behind their labels. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from darkroom.process.text.plain_text import plain
from darkroom.screens.widgets.rows import Row, clip, width

LABEL = 11
"""The cells of what stands before a fact."""


def wrapped(text: str, columns: int) -> list[str]:
    """Return words broken into lines of at most `columns` cells; a word that is longer is broken too."""
    columns = max(1, columns)
    rows, line = [], ""
    for piece in plain(text).split(" "):
        if line and width(line) + 1 + width(piece) > columns:
            rows.append(line)
            line = ""
        line = f"{line} {piece}" if line else piece
        start = 0
        while (end := _fitting(line, start, columns)) < len(line):
            rows.append(line[start:end])
            start = end
        line = line[start:]
    return [*rows, line]


def _fitting(text: str, start: int, columns: int) -> int:
    """Return where the part of `text` from `start` ends that fits into `columns` cells, one sign at least.

    Only about as much as fits is looked at: hands may have written a word of a million signs.
    """
    if text.isascii():
        return min(len(text), start + columns)
    size = columns
    while start + size < len(text) and width(text[start : start + size]) <= columns:
        size *= 2  # signs without a width
    least, most = start + 1, min(len(text), start + size)
    while least < most:
        middle = (least + most + 1) // 2
        if width(text[start:middle]) <= columns:
            least = middle
        else:
            most = middle - 1
    return least


def facts(pairs: Iterable[tuple[str, str | None]], columns: int, kind: str = "text") -> Iterator[Row]:
    """Yield a label and its words, broken over rows; nothing for one that is not known."""
    for label, text in pairs:
        if not text:
            continue
        for number, line in enumerate(wrapped(text, max(8, columns - LABEL))):
            lead = "" if number else clip(plain(label), LABEL - 1)
            yield [(lead + " " * (LABEL - width(lead)), "quiet"), (line, kind)]
