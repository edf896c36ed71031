"""A line of text under the hand: what a key does to it. Pure."""

from __future__ import annotations


def edited(text: str, at: int, key: str, character: str | None, most: int) -> tuple[str, int]:
    """Return the text and the place of the cursor after a key; `most` signs is the longest text."""
    at = max(0, min(at, len(text)))
    match key:
        case "left":
            return text, max(0, at - 1)
        case "right":
            return text, min(len(text), at + 1)
        case "home":
            return text, 0
        case "end":
            return text, len(text)
        case "backspace":
            return text[: max(0, at - 1)] + text[at:], max(0, at - 1)
        case "delete":
            return text[:at] + text[at + 1 :], at
        case "ctrl+u":
            return "", 0
    if character is not None and character.isprintable() and len(text) < most:
        return text[:at] + character + text[at:], at + 1
    return text, at
