"""Makes the shapes of letters that are shipped: `python -m tests.kit.make_letter_shapes [FOLDER]`.

The words are those of the shipped processes and of the screens, and every digit, capital and sign of a time.
"""

from __future__ import annotations

import json
import sys
import zlib
from pathlib import Path
from unittest import mock

from darkroom.resources import read_process, shipped_processes
from darkroom.screens.lettering import glyphs, letter_shapes

HEIGHTS = range(4, 37)
"""Heights in dots, of thin letters: those of screens of up to about 45 rows."""
CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
TIMES = ("0123456789:", "+0123456789:", "'0123456789:", "0123456789", " 0123456789:")
OTHERS = ("EMPTY", "PLATE 0123456789", "CAP ON", "UNCAP", "READY", "DONE", CAPITALS)


def words() -> list[str]:
    """Return what is drawn large, each letter once and in order, as it is asked for."""
    found = {*TIMES, *OTHERS}
    for path in shipped_processes():
        for stage in read_process(path).stages:
            verbs = (getattr(stage.verb, name, None) for name in ("lead_in", "due"))
            found |= {text.upper() for text in (stage.name, stage.short, stage.label, *verbs) if text}
    return sorted({"".join(sorted(set(word))) for word in found if word.isascii()})


def shapes(height: int) -> dict[str, dict[str, str]]:
    """Return {size of the face: {letter: shape}}, all that the search for this height asks of the face."""
    asked: dict[str, dict[str, str]] = {}
    drawn = glyphs.drawn_ink

    def noted(face: object, letter: str) -> letter_shapes.Ink:
        ink = drawn(face, letter)
        asked.setdefault(repr(float(face.size)), {})[letter] = letter_shapes.as_text(ink)  # type: ignore[attr-defined]
        return ink

    with (
        mock.patch.object(glyphs, "drawn_ink", noted),
        mock.patch.object(glyphs, "shipped_ink", lambda height, size, letter: None),
    ):
        for word in words():
            glyphs._thin.__wrapped__("", word, height)
    return {size: dict(sorted(asked[size].items())) for size in sorted(asked, key=float)}


def main(folder: Path) -> None:
    """Write a file for each height."""
    folder.mkdir(exist_ok=True)
    for height in HEIGHTS:
        (folder / f"{height}.json.z").write_bytes(zlib.compress(json.dumps(shapes(height)).encode(), 9))


if __name__ == "__main__":
    main(Path(sys.argv[1]) if sys.argv[1:] else letter_shapes.FOLDER)
