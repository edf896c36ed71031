"""Capitals four or five dots tall: a sentence two or three rows high in half blocks, a word in spaces."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby

from darkroom.screens.lettering.lettering import Row, Span
from darkroom.screens.lettering.small_letters import SMALL_LETTERS_4, SMALL_LETTERS_5

_FACES = {2: SMALL_LETTERS_4, 3: SMALL_LETTERS_5}
"""{rows: the face}; three rows have a free dot above the letters."""
_HALF = {("0", "0"): " ", ("0", "1"): "▄", ("1", "0"): "▀", ("1", "1"): "█"}
_ALIKE = {"’": "'", "–": "-", "−": "-", "…": "."}


@lru_cache(256)
def small_width(text: str, rows: int) -> int | None:
    """Return how many cells the text takes in letters `rows` (2 or 3) tall; None for letters not at hand."""
    face = _FACES[rows]
    letters = [face.get(sign) for sign in _drawable(text)]
    if not letters or None in letters:
        return None
    return sum(len(letter.split()[0]) + 1 for letter in letters if letter is not None) - 1


@lru_cache(64)
def lines_within(text: str, columns: int, rows: int) -> tuple[str, ...] | None:
    """Return the text broken into lines that fit `columns` cells in letters `rows` tall, or None."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        cells = small_width(longer, rows)
        if cells is None:
            return None
        if lines and cells <= columns:
            lines[-1] = longer
        elif (small_width(word, rows) or columns + 1) <= columns:
            lines.append(word)
        else:
            return None
    return tuple(lines)


@lru_cache(64)
def _drawn(text: str, rows: int) -> tuple[str, ...]:
    face = _FACES[rows]
    glyphs = [face[sign].split() for sign in _drawable(text)]
    dots = [
        ".".join(glyph[y] for glyph in glyphs).replace("#", "1").replace(".", "0")
        for y in range(len(glyphs[0]))
    ]
    dots = ["0" * len(dots[0])] * (2 * rows - len(dots)) + dots
    return tuple(
        "".join(_HALF[pair] for pair in zip(upper, lower, strict=True))
        for upper, lower in zip(dots[::2], dots[1::2], strict=True)
    )


def small_rows(lines: Sequence[str], columns: int, rows: int, meaning: str) -> list[Row]:
    """Return lines of `lines_within` as rows of `columns` cells, `rows` rows for each."""
    drawn: list[Row] = []
    for line in lines:
        drawn += [[(row.ljust(columns), meaning)] for row in _drawn(line, rows)]
    return drawn


@lru_cache(64)
def spaces_rows(text: str, columns: int, rows: int, meaning: str) -> tuple[tuple[Span, ...], ...] | None:
    """Return the text in capitals made of coloured spaces, four or five rows tall, amid `columns` cells.

    A dot is two cells wide where that fits, else one; None where neither does, or for letters not at hand.
    """
    face = {4: SMALL_LETTERS_4, 5: SMALL_LETTERS_5}.get(min(5, rows))
    letters = [face.get(sign) for sign in _drawable(text)] if face is not None else []
    if not letters or None in letters:
        return None
    glyphs = [letter.split() for letter in letters if letter is not None]
    dots = [".".join(glyph[y] for glyph in glyphs) for y in range(len(glyphs[0]))]
    wide = next((cells for cells in (2, 1) if len(dots[0]) * cells <= columns), None)
    if wide is None:
        return None
    left = (columns - len(dots[0]) * wide) // 2
    blank: tuple[Span, ...] = ((" " * columns, meaning),)
    drawn = []
    for row in dots:
        runs = [(sign, len(list(run)) * wide) for sign, run in groupby(row)]
        lit = [(" " * cells, f"{meaning} reversed" if sign == "#" else meaning) for sign, cells in runs]
        drawn.append(((" " * left, meaning), *lit, (" " * (columns - left - len(row) * wide), meaning)))
    above = (rows - len(drawn)) // 2
    return (*([blank] * above), *drawn, *([blank] * (rows - above - len(drawn))))


def _drawable(text: str) -> str:
    return "".join(_ALIKE.get(sign, sign) for sign in text).upper()
