"""A line of text under the hand: what a key does to it. Pure."""

from __future__ import annotations


def edited(text: str, cursor: int, key: str, character: str | None, max_length: int) -> tuple[str, int]:
    """Return the text and the place of the cursor after a key; `max_length` signs is the longest text."""
    cursor = max(0, min(cursor, len(text)))
    match key:
        case "left":
            return text, max(0, cursor - 1)
        case "right":
            return text, min(len(text), cursor + 1)
        case "home":
            return text, 0
        case "end":
            return text, len(text)
        case "backspace":
            return text[: max(0, cursor - 1)] + text[cursor:], max(0, cursor - 1)
        case "delete":
            return text[:cursor] + text[cursor + 1 :], cursor
        case "ctrl+u":
            return "", 0
    if character is not None and character.isprintable() and len(text) < max_length:
        return text[:cursor] + character + text[cursor:], cursor + 1
    return text, cursor
