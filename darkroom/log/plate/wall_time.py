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
    found = parsed(at)
    if found is None:
        return at
    offset = f"{found:%z}"
    return f"{found:%Y-%m-%d %H:%M:%S}" + (f" {offset[:3]}:{offset[3:5]}" if offset else "")


def clock(at: str) -> str:
    """Return "14:05:09", or the text as it is when it is no time."""
    found = parsed(at)
    return at if found is None else f"{found:%H:%M:%S}"
