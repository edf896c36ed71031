"""Text made safe for a page: nothing that was typed becomes markup, or turns the words around it."""

from __future__ import annotations

import unicodedata

_BIDI = frozenset("\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def legal(text: str) -> str:
    """Return text that XML 1.0 (section 2.2) and HTML allow; a sign they forbid is shown as replaced."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(sign if _allowed(sign) else "\ufffd" for sign in lines)


def _allowed(sign: str) -> bool:
    if sign in "\t\n":
        return True
    return unicodedata.category(sign) not in ("Cc", "Cs") and ord(sign) & 0xFFFE != 0xFFFE


def escape(text: object) -> str:
    """Return text for an element or a quoted attribute."""
    import html

    return html.escape(legal(str(text)), quote=True)


def typed(text: object) -> str:
    """Return text that people typed: set apart, so that its direction stays its own."""
    return f"<bdi>{escape(text)}</bdi>"


def plain(text: str) -> str:
    """Return text on one line without signs that turn the direction of writing: for a title."""
    return " ".join("".join(sign for sign in legal(text) if sign not in _BIDI).split())
