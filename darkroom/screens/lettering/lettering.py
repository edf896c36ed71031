"""Large letters: any word, at any size, as rows of text that a terminal shows.

Half blocks where the terminal has them (two square dots a cell), background-coloured spaces where it
may not (one dot a cell, twice as tall as wide). Drawing is cached by its inputs.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import groupby
from typing import Literal

from msgspec import Struct

from darkroom.screens.lettering.faces import face_for
from darkroom.screens.lettering.glyphs import DIGITS, Glyph, Size, Strokes, glyphs, hollow, strokes

Blocks = Literal["half", "spaces"]
Align = Literal["left", "center", "right"]
Span = tuple[str, str]
Row = list[Span]

NARROWEST = 0.7
"""A face is squeezed to no less than this part of its natural width."""
WEIGHT = 0.14
"""The stroke as a part of the height."""
SMALLEST = 5
"""Capitals less tall than so many dots cannot be told apart."""
_DIGITS = frozenset(DIGITS)
_TIME = frozenset(DIGITS + ":.,+-−–' ")
"""Letters of a time: its digits stand in cells of one width."""
_HALF = {("0", "0"): " ", ("0", "1"): "▄", ("1", "0"): "▀", ("1", "1"): "█"}


class Lettering(Struct, frozen=True):
    """A drawn word: `rows` of (text, meaning) spans, each row `columns` cells wide."""

    columns: int
    rows: tuple[tuple[Span, ...], ...]
    squeeze: float
    plain: bool = False
    """True when the letters were too small or unknown to be drawn: then they are ordinary text."""

    @property
    def text(self) -> str:
        """Return the rows as text, filled spaces as full blocks."""
        return "\n".join(
            "".join(
                "█" * len(text) if meaning.endswith("reversed") and not text.strip() else text
                for text, meaning in row
            )
            for row in self.rows
        )


class _LetterLine(Struct, frozen=True):
    """A line of letters on the grid: its glyphs with the dots before each, and its width in dots."""

    glyphs: tuple[tuple[int, Glyph], ...]
    width: int
    squeeze: float


def natural_width(text: str, height: int, aspect: float = 1.0, weight: float = WEIGHT) -> int:
    """Return how many dots wide the text is `height` dots tall, unsqueezed; 0 when it cannot be drawn.

    `aspect` is 1 for half blocks (two dots in a cell's height), 2 for spaces (one).
    """
    line = _line(text, _size(height, round(aspect), weight), 1.0) if height >= SMALLEST and text else None
    return 0 if line is None else line.width


def least_width(text: str, rows: int, blocks: Blocks = "half") -> int:
    """Return the cells of the text in letters `rows` tall, squeezed as far as may be; 0 if it cannot be."""
    dots, aspect = (2, 1) if blocks == "half" else (1, 2)
    size = _size(rows * dots, aspect, WEIGHT)
    line = _line(text, size, NARROWEST) if size.height >= SMALLEST and text else None
    return 0 if line is None else line.width


def warm(columns: int, rows: int, blocks: Blocks = "half") -> None:
    """Draw every digit once at this size, so that no frame waits for the face."""
    render("0:00", columns, rows, blocks=blocks)


def digit_rows(columns: int, rows: int, text: str, blocks: Blocks = "half") -> int:
    """Return how many rows the digits of a time get on a screen of that size.

    The smaller of 40 % of the rows (rounded up) and what fits the columns less two with the face
    squeezed to no less than 0.7 of its width; at least one row.
    """
    return _tallest(text, columns - 2, -(-rows * 2 // 5), 1, blocks)


def word_rows(columns: int, rows: int, text: str, blocks: Blocks = "half") -> int:
    """Return how many rows a word gets: as tall as fits, up to 20 % of the rows, at least three."""
    return _tallest(text, columns - 2, max(3, round(rows / 5)), 3, blocks)


def rows(
    text: str,
    columns: int,
    rows: int,
    *,
    blocks: Blocks = "half",
    weight: float = WEIGHT,
    meaning: str = "text",
    outline: bool = False,
    inverse: bool = False,
    slab: int | None = None,
    below: int = 0,
    align: Align = "center",
) -> list[Row]:
    """Return the rows of `render` as lists of (text, meaning) spans."""
    rendered = render(
        text,
        columns,
        rows,
        blocks=blocks,
        weight=weight,
        meaning=meaning,
        outline=outline,
        inverse=inverse,
        slab=slab,
        below=below,
        align=align,
    )
    return [list(row) for row in rendered.rows]


@lru_cache(256)
def render(
    text: str,
    columns: int,
    rows: int,
    *,
    blocks: Blocks = "half",
    weight: float = WEIGHT,
    meaning: str = "text",
    outline: bool = False,
    inverse: bool = False,
    slab: int | None = None,
    below: int = 0,
    align: Align = "center",
) -> Lettering:
    """Draw `text` on one line, `columns` cells wide and `rows` tall; capitals and digits fill the height.

    The face is squeezed to 0.7 of its width where it must be, then drawn smaller in the middle of the
    rows; what cannot be drawn so is ordinary text.
    `outline` draws hollow strokes (thin ones where they are too thin to be hollow). `inverse` draws
    dark letters on a slab of `slab` cells (as wide as the word by default), a dot of it above and below
    them. `below` dots stay free under the letters. Text of digits and signs keeps every digit in a cell of
    one width. `weight` is the stroke as a part of the height.
    """
    if columns <= 0 or rows <= 0:
        return Lettering(max(0, columns), ((),) * max(0, rows), 1.0)
    aspect = 1 if blocks == "half" else 2
    height = rows * 2 if blocks == "half" else rows
    margins = _margin(height, aspect) if inverse else (0, 0)
    pad = aspect * max(1, height // 10) if inverse else 0
    room = columns - 2 * pad
    inner = height - sum(margins) - below
    line = _fitting(text, room, _size(inner, aspect, weight, outline))
    if line is None and face_for(text) is not None:  # smaller, in the middle of the rows, before plain text
        sizes = (_size(tall, aspect, weight, outline) for tall in range(inner - 1, SMALLEST - 1, -1))
        line = next((fit for size in sizes if (fit := _fitting(text, room, size)) is not None), None)
    if line is None or not text.strip():
        return _plain(
            text, columns, rows, meaning=meaning, slab=(slab or 1) if inverse else None, align=align
        )
    drawn_bits = _joined(line, outline)
    above = margins[0] + (inner - len(drawn_bits)) // 2
    bits = [0] * above + drawn_bits + [0] * (height - above - len(drawn_bits))
    width = line.width
    if inverse:
        slab_width = min(columns, max(width + 2 * pad, slab or 0))
        left = (slab_width - width) // 2
        full = (1 << slab_width) - 1
        bits = [full & ~(row << (slab_width - width - left)) for row in bits]
        width = slab_width
    left = {"left": 0, "center": (columns - width) // 2, "right": columns - width}[align]
    bits = [row << (columns - width - left) for row in bits]
    drawn_rows = _half_blocks(bits, columns, meaning) if blocks == "half" else _spaces(bits, columns, meaning)
    return Lettering(columns, drawn_rows, line.squeeze)


def _size(height: int, aspect: int, weight: float, outline: bool = False) -> Size:
    """Return the size of letters `height` dots tall; an outline too thin to be hollow is a thin line."""
    stroke = strokes(height, aspect, weight)
    if outline and min(stroke.upright // aspect, stroke.level) < 3:
        stroke = Strokes(aspect, 1)
    return Size(height, aspect, stroke)


def _margin(height: int, aspect: int) -> tuple[int, int]:
    """Return the dots of slab above and below dark letters."""
    if height < 5 + aspect:
        return 0, 0
    each = max(1, height // 16)
    return (each, each) if height >= 7 else (0, 1)


def _tallest(text: str, columns: int, max_rows: int, min_rows: int, blocks: Blocks) -> int:
    dots, aspect = (2, 1) if blocks == "half" else (1, 2)
    for count in range(max_rows, min_rows, -1):
        if _fitting(text, columns, _size(count * dots, aspect, WEIGHT)) is not None:
            return count
    return min_rows


@lru_cache(1024)
def _fitting(text: str, columns: int, size: Size) -> _LetterLine | None:
    """Return the letters set within `columns` dots, or None when they cannot be drawn so."""
    if size.height < SMALLEST or columns < 1:
        return None
    squeeze = 1.0
    while True:
        line = _line(text, size, round(squeeze, 3))
        if line is None or line.width <= columns:
            return line
        if squeeze <= NARROWEST:
            return None
        squeeze = max(NARROWEST, min(squeeze - 0.01, squeeze * columns / line.width + 0.03))


@lru_cache(1024)
def _line(text: str, size: Size, squeeze: float) -> _LetterLine | None:
    """Return the letters set at one squeeze, None when no face at hand draws them."""
    tabular = _TIME.issuperset(text)
    face_and_text = face_for(text)
    if face_and_text is None:
        return None
    face, drawable = face_and_text
    letters = DIGITS + "".join(sorted(set(drawable) - _DIGITS)) if tabular else "".join(sorted(set(drawable)))
    glyph_of = glyphs(face, letters, size, squeeze)
    cell = max(glyph_of[digit].width for digit in DIGITS) if tabular else 0
    gap = max(size.aspect, round(0.15 * size.height * size.aspect * squeeze))
    placed: list[tuple[int, Glyph]] = []
    width = space_after = 0
    for letter in drawable:
        glyph = glyph_of[letter]
        side = (cell - glyph.width) // 2 if letter in _DIGITS and cell else 0
        before = space_after + side + (gap if placed else 0)
        placed.append((before, glyph))
        space_after = cell - glyph.width - side if letter in _DIGITS and cell else 0
        width += before + glyph.width
    return _LetterLine(tuple(placed), width + space_after, squeeze)


def _joined(line: _LetterLine, outline: bool) -> list[int]:
    """Return the rows of the line as integers `line.width` bits wide."""
    height = len(line.glyphs[0][1].rows)
    joined = [0] * height
    width = 0
    for before, glyph in line.glyphs:
        shape = hollow(glyph) if outline else glyph
        shift = before + glyph.width
        joined = [row << shift | bits for row, bits in zip(joined, shape.rows, strict=True)]
        width += shift
    return [row << (line.width - width) for row in joined]


def _half_blocks(bits: list[int], columns: int, meaning: str) -> tuple[tuple[Span, ...], ...]:
    drawn_rows = []
    for upper, lower in zip(bits[::2], bits[1::2], strict=True):
        above, below = f"{upper:0{columns}b}", f"{lower:0{columns}b}"
        text = "".join([_HALF[pair] for pair in zip(above, below, strict=True)])
        drawn_rows.append(((text, meaning),))
    return tuple(drawn_rows)


def _spaces(bits: list[int], columns: int, meaning: str) -> tuple[tuple[Span, ...], ...]:
    filled = meaning if meaning.endswith("reversed") else f"{meaning} reversed"
    drawn_rows = []
    for row in bits:
        dots = f"{row:0{columns}b}"
        drawn_rows.append(
            tuple((" " * len(list(run)), filled if dot == "1" else meaning) for dot, run in groupby(dots))
        )
    return tuple(drawn_rows)


def _plain(text: str, columns: int, rows: int, *, meaning: str, slab: int | None, align: Align) -> Lettering:
    """Return the word as ordinary text in the middle row; on a slab at least `slab` wide when given."""
    from rich.cells import cell_len, set_cell_size

    clipped = text if cell_len(text) <= columns else set_cell_size(text, columns)
    size = cell_len(clipped)
    slab_width = size if slab is None else min(columns, max(size + 2, slab))
    left = {"left": 0, "center": (columns - slab_width) // 2, "right": columns - slab_width}[align]
    kind = meaning if slab is None or meaning.endswith("reversed") else f"{meaning} reversed"
    text_rows = []
    for y in range(rows):
        inner = clipped if y == (rows - 1) // 2 else " " * size
        before = (slab_width - size) // 2
        body = " " * before + inner + " " * (slab_width - size - before)
        spans = [(" " * left, meaning), (body, kind), (" " * (columns - slab_width - left), meaning)]
        text_rows.append(tuple(span for span in spans if span[0]))
    return Lettering(columns, tuple(text_rows), 1.0, plain=True)
