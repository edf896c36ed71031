"""Large lettering: any word at any size, drawn by FreeType and cut to cells of pure red or nothing.

The face is Pillow's own (Aileron, CC0), so no font file is needed. Glyphs are thresholded to one bit,
since a grey edge is one more shade of red that 16 colours cannot show. A cell is drawn as two half
blocks one above the other, or, where the terminal may lack them, as a background-coloured space.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont

Span = tuple[str, str]
Row = list[Span]

SQUEEZE = 0.7
"""A face is squeezed to no less than this part of its natural width."""
DIGITS = "0123456789"
SHARE_OF_DIGITS = 0.4
SHARE_OF_WORD = 0.2
LEAST_WORD = 3
TRACKING = 0.06
"""The gap between letters, as a part of their height."""


@lru_cache(maxsize=32)
def _font(size: int) -> FreeTypeFont:
    from PIL import ImageFont

    return ImageFont.load_default(size)  # type: ignore[return-value]


@lru_cache(maxsize=64)
def _sized(height: int) -> tuple[FreeTypeFont, int]:
    """Return the font whose capitals and digits are just `height` pixels high, and their top."""
    size = max(4, round(height * 1.4))
    best: tuple[int, FreeTypeFont, int] | None = None
    for trial in range(max(3, size - 4), size + 6):
        font = _font(trial)
        _, top, _, bottom = font.getbbox("H0")
        off = abs(round(bottom - top) - height)
        if best is None or off < best[0]:
            best = (off, font, math.floor(top))
    assert best is not None
    return best[1], best[2]


@lru_cache(maxsize=512)
def _glyph(char: str, height: int, aspect: float) -> tuple[int, tuple[str, ...]]:
    """Return (width, rows of "#" and ".") of one glyph, `height` pixels high.

    `aspect` is the pixel's height over its width; the face is drawn wider by it.
    """
    from PIL import Image, ImageDraw

    font, top = _sized(height)
    if char == " ":
        width = max(1, round(height * 0.3 * aspect))
        return width, ("." * width,) * height
    left, _, right, bottom = font.getbbox(char)
    natural = max(1, math.ceil(right) - math.floor(left))
    deep = max(height, math.ceil(bottom) - top)
    image = Image.new("L", (natural + 2, deep), 0)
    ImageDraw.Draw(image).text((1 - math.floor(left), -top), char, font=font, fill=255, stroke_width=0)
    image = image.crop(image.getbbox() or (0, 0, natural, height))
    box_height = height
    if char in ":.,'-–·":  # small marks keep their own place
        image = Image.new("L", (natural + 2, deep), 0)
        ImageDraw.Draw(image).text((1 - math.floor(left), -top), char, font=font, fill=255)
        bounds = image.getbbox() or (0, 0, natural, height)
        image = image.crop((bounds[0], 0, bounds[2], deep)).resize((bounds[2] - bounds[0], height)) \
            if deep > height else image.crop((bounds[0], 0, bounds[2], height))  # fmt: skip
    wide = max(1, round(image.width * aspect * height / max(1, image.height)))
    big = image.resize((wide, box_height), Image.Resampling.BOX if wide < image.width else Image.Resampling.BILINEAR)
    data = big.tobytes()
    rows = tuple(
        "".join("#" if data[y * wide + x] >= 110 else "." for x in range(wide)) for y in range(box_height)
    )
    return wide, rows


def _squeezed(rows: tuple[str, ...], width: int) -> tuple[str, ...]:
    """Return the rows at another width; a pixel stands if half of what it stands for did."""
    from PIL import Image

    was = len(rows[0])
    if was == width:
        return rows
    image = Image.new("L", (was, len(rows)))
    image.putdata([255 if pixel == "#" else 0 for row in rows for pixel in row])
    data = image.resize((width, len(rows)), Image.Resampling.BOX).tobytes()
    return tuple(
        "".join("#" if data[y * width + x] >= 112 else "." for x in range(width)) for y in range(len(rows))
    )


@lru_cache(maxsize=256)
def _widths(text: str, height: int, aspect: float) -> tuple[int, ...]:
    digit = max(_glyph(d, height, aspect)[0] for d in DIGITS) if any(c in DIGITS for c in text) else 0
    return tuple(digit if char in DIGITS else _glyph(char, height, aspect)[0] for char in text)


def _gap(height: int, aspect: float) -> int:
    return max(1, round(height * TRACKING * aspect))


def natural_width(text: str, height: int, aspect: float) -> int:
    """Return how many pixels wide the text is at this height, unsqueezed; digits are all one width."""
    return sum(_widths(text, height, aspect)) + _gap(height, aspect) * max(0, len(text) - 1)


@lru_cache(maxsize=256)
def bitmap(text: str, columns: int, height: int, aspect: float = 1.0) -> tuple[str, ...]:
    """Return the text as rows of "#" and ".", at most `columns` wide, squeezed as far as need be."""
    if not text:
        return ("",) * height
    widths = _widths(text, height, aspect)
    gap = _gap(height, aspect)
    total = sum(widths) + gap * (len(text) - 1)
    factor = min(1.0, columns / total)
    if factor < 1.0:
        gap = max(1, math.floor(gap * factor))
        room = max(len(text), columns - gap * (len(text) - 1))
        factor = room / sum(widths)
        widths = tuple(max(1, math.floor(width * factor)) for width in widths)
    lines = [""] * height
    for index, (char, width) in enumerate(zip(text, widths, strict=True)):
        own, rows = _glyph(char, height, aspect)
        if char in DIGITS and own < width:  # tabular: a narrow digit stands in the middle of its place
            before = (width - own) // 2
            rows = tuple("." * before + row + "." * (width - own - before) for row in rows)
        rows = _squeezed(rows, width)
        for y in range(height):
            lines[y] += ("." * gap if index else "") + rows[y]
    return tuple(line[:columns] for line in lines)


def _hollow(rows: tuple[str, ...]) -> tuple[str, ...]:
    """Return only the edge of the strokes."""
    height, width = len(rows), len(rows[0]) if rows else 0

    def inside(x: int, y: int) -> bool:
        return all(
            0 <= y + dy < height and 0 <= x + dx < width and rows[y + dy][x + dx] == "#"
            for dx, dy in ((0, 1), (0, -1), (1, 0), (-1, 0))
        )

    return tuple(
        "".join("#" if rows[y][x] == "#" and not inside(x, y) else "." for x in range(width))
        for y in range(height)
    )


def _geometry(blocks: str) -> tuple[int, float]:
    """Return (pixels in a cell's height, height over width of a pixel)."""
    return (2, 1.0) if blocks == "half" else (1, 2.0)


@lru_cache(maxsize=128)
def digit_rows(columns: int, rows: int, text: str, blocks: str = "half") -> int:
    """Return how many rows the digits take: 40 % of the rows, or what fits the columns less two."""
    return _rows_that_fit(columns - 2, math.ceil(SHARE_OF_DIGITS * rows), text, blocks)


@lru_cache(maxsize=128)
def word_rows(columns: int, rows: int, text: str, blocks: str = "half") -> int:
    """Return how many rows the stage's name takes: up to 20 % of the rows, at least three."""
    return max(LEAST_WORD, _rows_that_fit(columns - 2, math.floor(SHARE_OF_WORD * rows + 0.5), text, blocks))


def _rows_that_fit(columns: int, most: int, text: str, blocks: str) -> int:
    pixels, aspect = _geometry(blocks)
    shape = "".join("0" if char in DIGITS else char for char in text)
    for rows in range(most, 1, -1):
        if natural_width(shape, rows * pixels, aspect) * SQUEEZE <= columns:
            return rows
    return 1


@lru_cache(maxsize=64)
def _drawn(text: str, columns: int, rows: int, blocks: str, outline: bool, inverse: bool, align: str,
           slab: int, meaning: str) -> tuple[tuple[Span, ...], ...]:  # fmt: skip
    pixels, aspect = _geometry(blocks)
    height = rows * pixels
    side = pixels if inverse else 0  # a slab shows a rim above and below the letters
    inner = max(1, height - 2 * side) if inverse and rows > 2 else height
    rim = (height - inner) // 2
    pad = 2 if inverse else 0
    marks = bitmap(text, max(1, columns - 2 * pad), inner, aspect)
    if outline:
        marks = _hollow(marks)
    width = len(marks[0]) if marks else 0
    full = min(columns, max(slab, width + 2 * pad)) if inverse else width
    before = (full - width) // 2
    marks = tuple("." * before + row + "." * (full - width - before) for row in marks)
    blank = "." * full
    marks = (blank,) * rim + marks + (blank,) * (height - inner - rim)
    left = 0 if align == "left" else columns - full if align == "right" else (columns - full) // 2
    right = columns - full - left
    return tuple(_row(marks, y, pixels, left, right, inverse, meaning) for y in range(rows))


def _row(marks: tuple[str, ...], y: int, pixels: int, left: int, right: int, inverse: bool,
         meaning: str) -> tuple[Span, ...]:  # fmt: skip
    """Return one row of cells as spans."""
    ink = "reversed" if inverse else meaning
    spans: list[Span] = [(" " * left, "text")] if left else []
    if pixels == 2:
        top, bottom = marks[2 * y], marks[2 * y + 1]
        cells = {("#", "#"): "█", ("#", "."): "▀", (".", "#"): "▄", (".", "."): " "}
        spans.append(("".join(cells[pair] for pair in zip(top, bottom, strict=True)), ink))
    else:
        solid, empty = ("text", "slab") if inverse else ("slab", "text")
        run, kind = "", ""
        for pixel in marks[y]:
            now = solid if pixel == "#" else empty
            if now != kind and run:
                spans.append((run, kind))
                run = ""
            run, kind = run + " ", now
        if run:
            spans.append((run, kind))
    if right:
        spans.append((" " * right, "text"))
    return tuple(spans)


def rows(text: str, columns: int, rows: int, *, blocks: str = "half", meaning: str = "text",
         outline: bool = False, inverse: bool = False, align: str = "center", slab: int = 0) -> list[Row]:  # fmt: skip
    """Return the text as `rows` rows of spans, each just `columns` cells wide.

    `outline` draws hollow strokes, `inverse` dark letters on a filled slab at least `slab` wide.
    """
    if rows <= 0:
        return []
    drawn = _drawn(text, columns, rows, blocks, outline, inverse, align, slab, meaning)
    return [list(row) for row in drawn]


def warm(columns: int, height: int) -> Any:
    """Draw every digit once, so that no frame waits for the font."""
    return [rows(f"{d}:{d}{d}", columns, height) for d in DIGITS]
