"""Shipped shapes of letters are what the font library draws, which draws all others."""

from __future__ import annotations

import subprocess
import sys
import zlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import ImageFont

from darkroom.screens.lettering import glyphs, letter_shapes
from tests.kit import make_letter_shapes


@pytest.fixture(autouse=True)
def _forgotten() -> Iterator[None]:
    """Nothing that was read or drawn before counts, here and afterwards."""
    cached = (letter_shapes._shapes, glyphs._thin, glyphs.glyphs)
    for function in cached:
        function.cache_clear()
    yield
    for function in cached:
        function.cache_clear()


@pytest.mark.parametrize("height", make_letter_shapes.HEIGHTS)
def test_every_shipped_shape_is_what_the_font_library_draws(height: int) -> None:
    """Reference: FreeType in Pillow, with the face that Pillow brings, at that size."""
    shipped = letter_shapes._shapes(height)
    assert sum(len(letters) for letters in shipped.values()) > 36
    for size, letters in shipped.items():
        face = ImageFont.load_default(float(size))
        for letter in letters:
            assert letter_shapes.shipped_ink(height, float(size), letter) == glyphs.drawn_ink(face, letter)


def test_words_are_the_same_with_and_without_what_is_shipped(monkeypatch: pytest.MonkeyPatch) -> None:
    """A word has the same letters whether its shapes are shipped or not."""
    words = ("0123456789:", "ACOT", "EIMNRSTV", "Zäq", "0123456789 AELPT")
    sizes = (5, 9, 14, 20, 36, 50)
    with_shipped = [glyphs._thin("", word, height) for word in words for height in sizes]
    glyphs._thin.cache_clear()
    monkeypatch.setattr(glyphs, "shipped_ink", lambda height, size, letter: None)
    assert [glyphs._thin("", word, height) for word in words for height in sizes] == with_shipped


@pytest.mark.parametrize(
    "content", [None, b"", b"no file of shapes", zlib.compress(b"{"), zlib.compress(b'{"28.0":{"A":"x"}}')]
)
def test_a_missing_or_broken_file_ships_nothing(
    content: bytes | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Letters are drawn all the same."""
    expected = glyphs._thin.__wrapped__("", "ACOT", 20)
    letter_shapes._shapes.cache_clear()
    monkeypatch.setattr(letter_shapes, "FOLDER", tmp_path)
    if content is not None:
        (tmp_path / "20.json.z").write_bytes(content)
    assert letter_shapes.shipped_ink(20, 28.0, "A") is None
    assert glyphs._thin.__wrapped__("", "ACOT", 20) == expected


def test_the_usual_screens_are_drawn_without_the_font_library() -> None:
    """A fresh interpreter draws the heading of the home form and a bench's time and word without it."""
    code = (
        "import sys\n"
        "from darkroom.screens.lettering import lettering\n"
        "for columns, rows in ((80, 24), (100, 30), (120, 40)):\n"
        "    lettering.rows('PLATE 12', columns // 2, 5 if rows > 35 else 3, align='left')\n"
        "    for text in ('3:30', '0:05', '12:00'):\n"
        "        lettering.rows(text, columns - 2, lettering.digit_rows(columns, rows, text))\n"
        "    for word in ('COAT', 'LIFT', 'POUR', 'DEVELOP'):\n"
        "        lettering.rows(word, columns - 2, lettering.word_rows(columns, rows, word))\n"
        "print('PIL' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
