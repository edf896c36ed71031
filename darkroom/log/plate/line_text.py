"""What the commands about the log write on a line: text that controls no terminal, times of day."""

from __future__ import annotations

from datetime import datetime


def wall(at: str) -> str:
    """Return a wall time as "2026-03-01 14:05:09 +01:00", in the offset it was written with."""
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        return at
    return moment.isoformat(sep=" ", timespec="seconds").replace("+", " +")


def clean(text: str) -> str:
    """Return text without control characters: typed text must not control the terminal."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else " " for sign in text)
