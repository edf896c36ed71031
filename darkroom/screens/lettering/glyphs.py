"""Letters as bit patterns, at any height: FreeType's hinted shapes, thickened and squeezed on the grid.

A glyph is a tuple of rows from top to bottom; a row is an integer whose highest bit is its leftmost
dot. FreeType (inside Pillow, with the face that Pillow brings) draws a thin shape that sits on the
grid; bits are then spread, so that strokes have a whole number of dots and edges stay sharp without
any grey.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

from darkroom.screens.lettering.faces import face_of_size
from darkroom.screens.lettering.letter_shapes import NOTHING, Ink, shipped_ink
from darkroom.screens.lettering.small_digits import SMALL_5, SMALL_7

DIGITS = "0123456789"
SMALLEST_HINTED = 10
"""Digits less tall than so many dots come from the tables."""


USUAL = 1.4
"""Size of the face at hand for capitals one dot tall: where the search for the right size begins."""
_BINARY = bytes([48]) + bytes([49]) * 255
BLOCK = 0.9
"""A letter with more ink than this in its box cannot be told from a block."""


class Glyph(NamedTuple):
    """A bit pattern `width` dots wide; every glyph of one face has as many rows."""

    width: int
    rows: tuple[int, ...]


class Strokes(NamedTuple):
    """How many dots wide an upright and how many tall a level stroke is."""

    upright: int
    level: int


class Size(NamedTuple):
    """How letters sit on the dots: how many tall, `aspect` of them to a square's side, their strokes."""

    height: int
    aspect: int
    stroke: Strokes


def strokes(height: int, aspect: int, weight: float) -> Strokes:
    """Return the strokes of letters `height` dots tall whose dots are `aspect` to a square's side.

    About a seventh of the height, the middle of what is asked of legends for the dark (1/6 to 1/8,
    MIL-STD-1472, from memory).
    """
    return Strokes(
        max(2 if aspect == 1 else aspect, round(height * weight * aspect * 1.15)),
        max(1, round(height * weight)),
    )


def drawn_ink(face: Any, letter: str) -> Ink:
    """Return the ink of a letter without the empty rows and columns around it."""
    bitmap, (_, top) = face.getmask2(letter, mode="1")
    width, height = bitmap.size
    dots = bytes(bitmap).translate(_BINARY)
    rows = [int(dots[y * width : (y + 1) * width] or b"0", 2) for y in range(height)]
    while rows and not rows[0]:
        rows.pop(0)
        top += 1
    while rows and not rows[-1]:
        rows.pop()
    if not rows:
        return NOTHING
    every = 0
    for row in rows:
        every |= row
    right = (every & -every).bit_length() - 1
    return Ink(top, every.bit_length() - right, tuple(row >> right for row in rows))


class _Inks:
    """The ink of letters in one face and size: from what is shipped, else drawn by the font library."""

    def __init__(self, name: str, height: int, size: float) -> None:
        self._name, self._height, self._size = name, height, size
        self._face: Any = None

    def of(self, letter: str) -> Ink:
        """Return the ink of a letter."""
        ink = None if self._name else shipped_ink(self._height, self._size, letter)
        if ink is None:
            if self._face is None:
                self._face = face_of_size(self._name, self._size)
            ink = drawn_ink(self._face, letter)
        return ink


@lru_cache(256)
def _thin(name: str, letters: str, height: int) -> tuple[dict[str, Glyph], int]:
    """Return (thin glyphs of `letters` on a common line, together `height` dots tall; their stroke)."""
    best: dict[str, Ink] = {}
    reach, stroke = 0, 1
    low, high = height * 1.0, height * 1.9
    size = height * USUAL
    for _ in range(14):  # the height grows with the size: the largest that is not too tall is wanted
        shapes = _Inks(name, height, size)
        inks = {letter: shapes.of(letter) for letter in letters}
        inked = [ink for ink in inks.values() if ink.rows]
        top = min((ink.top for ink in inked), default=0)
        tall = max((ink.top + len(ink.rows) for ink in inked), default=height) - top
        if reach < tall <= height:
            best, reach, stroke = inks, tall, shapes.of("I").width or 1
        if tall == height:
            break
        low, high = (size, high) if tall < height else (low, size)
        size = (low + high) / 2
    top = min((ink.top for ink in best.values() if ink.rows), default=0)
    thin_glyphs = {}
    for letter in letters:
        ink = best.get(letter, NOTHING)
        if not ink.rows:
            thin_glyphs[letter] = _space(height)
        elif letter in DIGITS:  # every digit fills the height, whatever the face does for the eye
            small = height < SMALLEST_HINTED
            thin_glyphs[letter] = (
                _small_digit(letter, height) if small else Glyph(ink.width, _stretched(ink.rows, height))
            )
        else:
            placed = (0,) * (ink.top - top) + ink.rows
            thin_glyphs[letter] = Glyph(ink.width, _stretched(placed + (0,) * (reach - len(placed)), height))
    return thin_glyphs, stroke


def _space(height: int) -> Glyph:
    return Glyph(max(1, round(height * 0.4)), (0,) * height)


def _stretched(rows: tuple[int, ...], height: int) -> tuple[int, ...]:
    """Return the rows with some of them twice, so that there are `height`: uprights grow, bars do not."""
    stretched = list(rows)
    while 0 < len(stretched) < height:
        middle = len(stretched) / 2
        alike = [y for y in range(1, len(stretched) - 2) if stretched[y] == stretched[y + 1]]
        y = min(alike, key=lambda y: abs(y + 0.5 - middle), default=len(stretched) * 3 // 4)
        stretched.insert(y, stretched[y])
    return tuple(stretched)


def _small_digit(digit: str, height: int) -> Glyph:
    """Return a digit too small for FreeType's hints to keep its shape."""
    dot_rows = (SMALL_5 if height < 7 else SMALL_7)[int(digit)].split()
    bits = tuple(int(dot_row.replace(".", "0").replace("#", "1"), 2) for dot_row in dot_rows)
    return Glyph(len(dot_rows[0]), _stretched(bits, height))


def _narrowed(glyph: Glyph, width: int) -> Glyph:
    """Return the glyph squeezed to `width` dots; no stroke is lost, columns are laid on one another."""
    if width >= glyph.width:
        return glyph
    new_columns = [
        round(x * (width - 1) / (glyph.width - 1)) if glyph.width > 1 else 0 for x in range(glyph.width)
    ]
    rows = []
    for row in glyph.rows:
        narrowed = 0
        for x, new_column in enumerate(new_columns):
            if row >> (glyph.width - 1 - x) & 1:
                narrowed |= 1 << (width - 1 - new_column)
        rows.append(narrowed)
    return Glyph(width, tuple(rows))


def _widened(glyph: Glyph, times: int) -> Glyph:
    """Return the glyph with every dot `times` as wide."""
    if times == 1:
        return glyph
    full = (1 << times) - 1
    rows = tuple(sum(full << (x * times) for x in range(glyph.width) if row >> x & 1) for row in glyph.rows)
    return Glyph(glyph.width * times, rows)


def _thickened(glyph: Glyph, right: int, down: int) -> Glyph:
    """Return the glyph with its ink spread `right` dots to the right and `down` dots down."""
    width = glyph.width + right
    rows = [row << right for row in glyph.rows]
    rows = [_spread(row, right) for row in rows] + [0] * down
    for _ in range(down):
        rows = [row | (rows[y - 1] if y else 0) for y, row in enumerate(rows)]
    return Glyph(width, tuple(rows))


def _spread(row: int, right: int) -> int:
    spread = row
    for distance in range(1, right + 1):
        spread |= row >> distance
    return spread


def _fill(glyph: Glyph) -> float:
    """Return how much of the glyph's box is ink."""
    return sum(row.bit_count() for row in glyph.rows) / (glyph.width * len(glyph.rows))


def _runs(glyph: Glyph) -> int:
    """Return the most separate pieces of ink that any row has: two in an H, three in an M."""
    return max(len(f"{row:b}".replace("0", " ").split()) for row in glyph.rows)


def _fitted(thin: Glyph, thicken_right: int, thicken_down: int, squeeze: float) -> Glyph:
    """Return a thin glyph squeezed and thickened, but thinner where it would become a block, as a small M."""
    max_ink, min_runs = max(BLOCK, _fill(thin)), min(2, _runs(thin))
    for spread in range(thicken_right, -1, -1):
        squeezed_width = round((thin.width + thicken_right) * squeeze) - spread
        shape = _thickened(_narrowed(thin, max(1, squeezed_width)), spread, thicken_down)
        if _fill(shape) <= max_ink and _runs(shape) >= min_runs:
            break
    return shape


def hollow(glyph: Glyph) -> Glyph:
    """Return the glyph with only the dots at its edge."""
    rows = glyph.rows
    hollow_rows = []
    for y, row in enumerate(rows):
        above, below = (rows[y - 1] if y else 0), (rows[y + 1] if y + 1 < len(rows) else 0)
        hollow_rows.append(row & ~(row & (row << 1) & (row >> 1) & above & below))
    return Glyph(glyph.width, tuple(hollow_rows))


@lru_cache(1024)
def glyphs(face: str, letters: str, size: Size, squeeze: float) -> dict[str, Glyph]:
    """Return the glyphs of `letters` in a face at that size, squeezed to a part of their width.

    Every glyph has `size.height` rows; strokes keep their thickness however narrow the glyph is.
    """
    height, aspect, stroke = size
    thin, natural = _thin(face, letters, max(1, height - stroke.level + 1))
    thicken_down = max(0, stroke.level - natural)
    if height - thicken_down != max(1, height - stroke.level + 1):
        thin, natural = _thin(face, letters, max(1, height - thicken_down))
        thicken_down = max(0, height - len(next(iter(thin.values())).rows))
    thicken_right = max(0, stroke.upright - natural * aspect)
    fitted = {}
    for letter, shape in thin.items():
        widened = _widened(shape, aspect)
        if any(widened.rows):
            fitted[letter] = _fitted(widened, thicken_right, thicken_down, squeeze)
        else:
            fitted[letter] = Glyph(max(1, round(widened.width * squeeze)), (0,) * height)
    return fitted
