"""Wall times for people, in the offset they were written with."""

from __future__ import annotations

from datetime import datetime


def parsed(at: str | None) -> datetime | None:
    """Return an RFC 3339 time, or None when it is none."""
    try:
        return None if at is None else datetime.fromisoformat(at)
    except ValueError:
        return None


def moment(at: str) -> str:
    """Return "2026-03-01 14:05:09 +01:00", or the text as it is when it is no time."""
    time = parsed(at)
    if time is None:
        return at
    offset = f"{time:%z}"
    return f"{time:%Y-%m-%d %H:%M:%S}" + (f" {offset[:3]}:{offset[3:5]}" if offset else "")


def clock(at: str) -> str:
    """Return "14:05:09", or the text as it is when it is no time."""
    time = parsed(at)
    return at if time is None else f"{time:%H:%M:%S}"
