"""Text made safe to show, against what XML 1.0 allows (section 2.2) and the categories of Unicode."""

from __future__ import annotations

import unicodedata
from itertools import chain

from hypothesis import given
from hypothesis import strategies as st

from darkroom.process.text.plain_text import legal

TURNS = frozenset("\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""The characters of Unicode's property Bidi_Control."""


def sign_by_sign(text: str) -> str:
    """Return what `legal` should: each sign looked at by itself."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    kept = [sign for sign in lines if sign not in TURNS]
    return "".join(
        "\ufffd"
        if sign not in "\t\n"
        and (unicodedata.category(sign) in ("Cc", "Cs") or ord(sign) & 0xFFFF in (0xFFFE, 0xFFFF))
        else sign
        for sign in kept
    )


@given(st.lists(st.text(st.characters(codec=None) | st.sampled_from([*TURNS, *"\r\n\t\x00"]))))
def test_lines_are_as_sign_by_sign(lines: list[str]) -> None:
    """Whatever is typed, on one line or on many."""
    assert legal("\n".join(lines)) == sign_by_sign("\n".join(lines))


def test_every_sign_stands_alone_and_between_lines() -> None:
    """Each code point of the planes in use: what may not stand is replaced, what turns is left out."""
    for code in chain(range(0x32000), range(0xE0000, 0xE0200), range(0x10FF00, 0x110000)):
        text = f"a\n{chr(code)}\nb"
        assert legal(text) == sign_by_sign(text), hex(code)
