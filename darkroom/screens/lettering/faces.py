"""The faces that letters are drawn with: the one at hand, and others of the computer for rare letters."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import Any

OTHER_FACES = (
    "DejaVuSans.ttf",
    "NotoSans-Regular.ttf",
    "NotoSansCJK-Regular.ttc",
    "Arial Unicode.ttf",
    "arial.ttf",
)
"""Faces looked for on the computer when the one at hand lacks a letter."""


@lru_cache(8)
def _face(name: str, size: float) -> Any:
    from PIL import ImageFont

    if not name:
        return ImageFont.load_default(size)
    return ImageFont.truetype(name, size)


@lru_cache(2)
def _faces() -> tuple[str, ...]:
    """Return the faces that are there, the one at hand first."""
    faces = [""]
    for name in OTHER_FACES:
        try:
            _face(name, 20)
        except OSError:
            continue
        faces.append(name)
    return tuple(faces)


@lru_cache(512)
def _has(name: str, letter: str) -> bool:
    """Return whether a face draws a letter, and not the box for a missing one."""
    face = _face(name, 40)
    missing = face.getmask("\uffff", mode="1")
    drawn = face.getmask(letter, mode="1")
    return bool(drawn.size != missing.size or bytes(drawn) != bytes(missing))


def face_for(text: str) -> tuple[str, str] | None:
    """Return (a face, the text as it can draw it), None when no face at hand draws it."""
    letters = [letter for letter in text if not letter.isspace()]
    if all(letter.isascii() or _has("", letter) for letter in letters):
        return "", text
    unaccented = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    for name in _faces()[1:]:
        if all(_has(name, letter) for letter in letters):
            return name, text
    return ("", unaccented) if unaccented.isascii() and unaccented.strip() else None


def face_of_size(name: str, size: float) -> Any:
    """Return a face in a size that is tried once, and not kept."""
    return _face.__wrapped__(name, size)
