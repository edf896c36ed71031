"""The day that work belongs to: it changes at 04:00 local time, so that a late evening is one day. Pure."""

from __future__ import annotations

from datetime import datetime, timedelta

CHANGES_AT = timedelta(hours=4)


def working_day(at: str) -> str:
    """Return the day (YYYY-MM-DD) of an instant in RFC 3339 text, in the offset that the text has.

    Raises ValueError for a text that is no instant.
    """
    return (datetime.fromisoformat(at) - CHANGES_AT).date().isoformat()


def hour(at: str) -> str:
    """Return the hour and minute of an instant in RFC 3339 text, as 09:12, in the offset that it has."""
    return f"{datetime.fromisoformat(at):%H:%M}"
