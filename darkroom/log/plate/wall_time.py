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
    text = time.isoformat(" ", "seconds")  # a third of the time of a format
    return f"{text[:19]} {text[19:25]}" if len(text) > 19 else text


def clock(at: str) -> str:
    """Return "14:05:09", or the text as it is when it is no time."""
    time = parsed(at)
    if time is None:
        return at
    if at[10:11] == "T" and at[13:14] == at[16:17] == ":" and at[11:13] != "24":
        return at[11:19]  # as it stands in a journal: a time that was read needs no writing anew
    return time.isoformat(" ", "seconds")[11:19]
