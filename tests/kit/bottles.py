"""Lines of bottles, for tests."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from darkroom.solutions import events as ev
from darkroom.solutions.events import BottleEntry


def time_text(instant: float) -> str:
    """Return an instant, seconds since the epoch, as the book writes it."""
    return datetime.fromtimestamp(instant, UTC).isoformat(timespec="milliseconds")


def entry(kind: Any, *, n: int, of: str = "a", instant: float | None = None, **members: Any) -> BottleEntry:
    """Return a line as the bench `of` wrote it; it happened at `instant`, else `n` seconds in."""
    seconds = float(n) if instant is None else instant
    event = kind(n=n, at=time_text(seconds), up=None, **members)
    return BottleEntry(place=f"{of}:{n}", bench=of, instant=seconds, happened=time_text(seconds), event=event)


def made(*, n: int = 1, of: str = "a", instant: float | None = None, **members: Any) -> BottleEntry:
    """Return the line that says what was made: a silver bath B-1 unless `members` say otherwise."""
    usual: dict[str, Any] = {
        "bottle": "b1", "name": "B-1", "what": "bath", "schema": 1, "version": "0", "bench": of,
    }  # fmt: skip
    return entry(ev.Made, n=n, of=of, instant=instant, **{**usual, **members})
