"""A terminal screen as a PNG picture, for people to look at: `save(terminal.cells(), "screen.png")`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from tests.kit.svg import Cell

WIDE, TALL = 10, 20
_BLOCKS = {"▀": (0, TALL // 2), "▄": (TALL // 2, TALL), "█": (0, TALL)}


def save(
    cells: Sequence[Sequence[Cell]], path: str | Path, own: tuple[str, str] = ("c0c0c0", "000000")
) -> None:
    """Write the picture; `own` are the terminal's own colours, text and ground."""
    columns = max(len(row) for row in cells)
    image = Image.new("RGB", (columns * WIDE, len(cells) * TALL))
    draw = ImageDraw.Draw(image)
    try:
        face = ImageFont.truetype("DejaVuSansMono.ttf", 16)
    except OSError:
        face = ImageFont.load_default(15)
    for y, row in enumerate(cells):
        for x, cell in enumerate(row):
            fore = "#" + (own[0] if cell.foreground == "default" else cell.foreground)
            back = "#" + (own[1] if cell.background == "default" else cell.background)
            left, top = x * WIDE, y * TALL
            draw.rectangle((left, top, left + WIDE - 1, top + TALL - 1), fill=back)
            if cell.text in _BLOCKS:
                begin, end = _BLOCKS[cell.text]
                draw.rectangle((left, top + begin, left + WIDE - 1, top + end - 1), fill=fore)
            elif cell.text.strip():
                draw.text((left, top), cell.text, fill=fore, font=face)
    image.save(path)
