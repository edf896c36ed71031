"""A time of day as it is typed for a place: "14:30", with or without its date. Pure."""

from __future__ import annotations

import re
from datetime import datetime

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.text.numbers import quoted

EXPECTED = "a time such as 14:30, or 2026-06-21 14:30"
_SHAPE = late_pattern(r"(?:(\d{4})-(\d{1,2})-(\d{1,2}))?(?:(?:^|[Tt ]+)(\d{1,2})[:.](\d{2}))?", re.ASCII)


def clock_time(text: str, now: datetime) -> datetime:
    """Return the instant that a text means where the clock shows `now`; it keeps the zone of `now`.

    Without a date it is the date of `now`, without a time of day the time of `now`. Raises QuantityError.
    """
    match = _SHAPE.fullmatch(text.strip())
    if match is None or not match[0]:
        raise QuantityError(f"{quoted(text)} cannot be read: expected {EXPECTED}")
    year, month, day, hour, minute = (None if part is None else int(part) for part in match.groups())
    at = now.replace(second=0, microsecond=0)
    try:
        if year is not None and month is not None and day is not None:
            at = at.replace(year=year, month=month, day=day)
        if hour is not None and minute is not None:
            at = at.replace(hour=hour, minute=minute)
    except ValueError:
        raise QuantityError(f"{quoted(text)} is no date and time of day: expected {EXPECTED}") from None
    return at
