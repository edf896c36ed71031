"""Typed text made safe to show: without control characters, and without signs that turn the writing. Pure."""

from __future__ import annotations

import unicodedata

_BIDI = frozenset("\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def legal(text: str) -> str:
    """Return text that XML 1.0 (section 2.2) and HTML allow; a sign they forbid is shown as replaced.

    Signs that turn the direction of writing are left out: what is shown stands in the order it was typed.
    """
    if text.isprintable():
        return text
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    if lines.replace("\n", "").isprintable():
        return lines
    return "".join(sign if _allowed(sign) else "\ufffd" for sign in lines if sign not in _BIDI)


def _allowed(sign: str) -> bool:
    if sign in "\t\n":
        return True
    return unicodedata.category(sign) not in ("Cc", "Cs") and ord(sign) & 0xFFFE != 0xFFFE


def plain(text: str) -> str:
    """Return text on one line, as `legal` has it: for a title."""
    return " ".join(legal(text).split())


def json_escaped(text: str) -> str:
    """Return JSON with escapes for control characters and signs that turn the direction of writing.

    It means the same to a program that reads it.
    """
    if text.replace("\n", "").isprintable():
        return text
    import json

    return "".join(sign if sign.isprintable() or sign == "\n" else json.dumps(sign)[1:-1] for sign in text)
