"""When something happened, or until when it is put off, as it is typed: "yesterday", "14:20". Pure."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import datetime, timedelta

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.text.clock_times import clock_time
from darkroom.process.text.instants import FIRST_YEAR, LAST_YEAR, instant
from darkroom.process.text.numbers import quoted

PAST = (
    "a time such as yesterday, 14:20, '3 days ago', 'a week ago', '6 months ago', 2026-05-14, "
    "2026-05-14 14:20 or an RFC 3339 instant"
)
FUTURE = "a day such as tomorrow, '7 days' or 2026-06-01"
_YESTERDAY = late_pattern(r"yesterday(?:[ ,]+(?:at +)?(\d{1,2}[:.]\d{2}))?", re.IGNORECASE | re.ASCII)
_DAYS = late_pattern(r"(\d{1,4} *|an? +|one +)(d|days?|weeks?|w|months?)( +ago)?", re.IGNORECASE | re.ASCII)
SLACK = timedelta(minutes=1)
"""By so much a time may lie ahead and still be now: the clock on the wall is not this one."""


def past(text: str, now: datetime) -> datetime:
    """Return the instant that a text means where the clock shows `now`, in the zone of `now`.

    A day without a time of day is that day at this hour. Raises QuantityError for what cannot be read, has
    not come yet, or lies outside the years that are told.
    """
    at = _past(text.strip(), now)
    if at > now + SLACK:
        raise QuantityError(f"{quoted(text)} has not come yet: expected {PAST}")
    if not FIRST_YEAR <= at.year <= LAST_YEAR:
        raise QuantityError(f"{quoted(text)} is out of range: expected {PAST}")
    return at


def _past(text: str, now: datetime) -> datetime:
    yesterday = _YESTERDAY.fullmatch(text)
    if yesterday is not None:
        day = now - timedelta(days=1)
        return day if yesterday[1] is None else clock_time(yesterday[1], day)
    days = _DAYS.fullmatch(text)
    if days is not None and days[3]:
        return _later(now, days, -1)
    if text.lower() == "now":
        return now
    return _written(text, now, PAST)


def until(text: str, now: datetime) -> datetime:
    """Return the instant to which a text puts something off, later than `now`. Raises QuantityError.

    A day alone is its beginning in the zone of `now`.
    """
    stripped = text.strip()
    days = _DAYS.fullmatch(stripped)
    if stripped.lower() == "tomorrow":
        at = now + timedelta(days=1)
    elif days is not None and not days[3]:
        at = _later(now, days, 1)
    else:
        at = _written(stripped, now, FUTURE)
        if re.fullmatch(r"[\d-]+", stripped):
            at = at.replace(hour=0, minute=0)
    if at <= now:
        raise QuantityError(f"{quoted(text)} is over: expected {FUTURE}")
    if at.year > LAST_YEAR:
        raise QuantityError(f"{quoted(text)} is out of range: expected {FUTURE}")
    return at


def _later(now: datetime, match: re.Match[str], sign: int) -> datetime:
    """Return the same hour so many days, weeks or months later, or earlier; of a short month its last day."""
    word = match[1].strip()
    count = sign * (int(word) if word.isdigit() else 1)
    unit = match[2].lower()
    if not unit.startswith("m"):
        return now + timedelta(days=count * (7 if unit.startswith("w") else 1))
    year, month = divmod(now.year * 12 + now.month - 1 + count, 12)
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise QuantityError(f"{quoted(match[0])} is out of range: expected years {FIRST_YEAR} to {LAST_YEAR}")
    return now.replace(year=year, month=month + 1, day=min(now.day, monthrange(year, month + 1)[1]))


def _written(text: str, now: datetime, expected: str) -> datetime:
    try:
        return clock_time(text, now)
    except QuantityError:
        if not re.match(r"\d{4}-", text):
            raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}") from None
    return instant(text).astimezone(now.tzinfo)
