"""The shapes of letters as the font library draws them at the usual sizes, shipped beside the code.

Importing the font library and searching the size of a face takes longer than drawing a whole screen.
`tests/kit/make_letter_shapes.py` makes the files: one for each height in dots, deflated JSON, {size of the
face: {letter: "top width rows"}}, the rows in hexadecimal. What is not in them is drawn by the font library.
"""

from __future__ import annotations

import zlib
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import msgspec

from darkroom import plain_files

FOLDER = Path(__file__).parent / "shapes"
MOST = 1 << 18
"""No file of shapes is longer, in bytes."""
_Shapes = dict[str, dict[str, str]]
_READER: msgspec.json.Decoder[_Shapes] = msgspec.json.Decoder(_Shapes)


class Ink(NamedTuple):
    """A letter's ink as FreeType draws it: its top counted from the ascender, and its rows."""

    top: int
    width: int
    rows: tuple[int, ...]


NOTHING = Ink(0, 0, ())


def as_text(ink: Ink) -> str:
    """Return an ink as it stands in a file of shapes."""
    return " ".join((str(ink.top), str(ink.width), *(f"{row:x}" for row in ink.rows)))


def shipped_ink(height: int, size: float, letter: str) -> Ink | None:
    """Return the ink of a letter of the face at hand, None where its shape is not shipped.

    `height` is that in dots for which the `size` of the face is tried. A file that is missing or cannot be
    read ships nothing.
    """
    text = _shapes(height).get(repr(size), {}).get(letter)
    if text is None:
        return None
    try:
        top, width, *rows = text.split(" ")
        return Ink(int(top), int(width), tuple(int(row, 16) for row in rows))
    except ValueError:
        return None


@lru_cache(64)
def _shapes(height: int) -> _Shapes:
    try:
        return _READER.decode(zlib.decompress(plain_files.read_start(FOLDER / f"{height}.json.z", MOST)))
    except (OSError, zlib.error, msgspec.MsgspecError, UnicodeDecodeError):
        return {}
