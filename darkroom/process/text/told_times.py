"""When something happened, or until when it is put off, as it is typed for a line of a book. Pure."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from darkroom.errors import QuantityError
from darkroom.process.text.clock_times import clock_time
from darkroom.process.text.instants import FIRST_YEAR, LAST_YEAR, instant
from darkroom.process.text.numbers import quoted, split

PAST = "14:20, yesterday, yesterday 14:20 or 2026-05-12 14:20"
COMING = "3 days, 2 weeks, tomorrow or 2026-05-12"
AHEAD = timedelta(minutes=5)
"""So far ahead of the clock an instant may lie: another clock told it."""
LONGEST = 3650
"""Nothing is put off for more days."""
_DAYS = {"d": 1, "day": 1, "days": 1, "w": 7, "week": 7, "weeks": 7, "month": 30, "months": 30}
_YESTERDAY = re.compile(r"yesterday\b[, ]*(?:at +)?", re.IGNORECASE)


def past_time(text: str, now: datetime) -> datetime:
    """Return the instant at which something happened where the clock shows `now`; it keeps that zone.

    `14:20` is of today, `yesterday` is the time of `now` a day ago; RFC 3339 with an offset is an instant of
    its own zone. Raises QuantityError for what cannot be read, and for what is still to come.
    """
    typed = text.strip()
    yesterday = _YESTERDAY.match(typed)
    try:
        if yesterday is not None:
            rest = typed[yesterday.end() :]
            day = now - timedelta(days=1)
            found = clock_time(rest, day) if rest else day.replace(second=0, microsecond=0)
        elif typed.casefold() in ("now", "today"):
            found = now
        else:
            found = _instant_or_clock_time(typed, now)
    except QuantityError as error:
        if " is no date " in str(error):
            raise
        raise QuantityError(f"{quoted(text)} cannot be read: expected {PAST}") from None
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise QuantityError(f"the year {found.year} is out of range: expected {FIRST_YEAR} to {LAST_YEAR}")
    if found > now + AHEAD:
        hint = f" (did you mean 'yesterday {typed}'?)" if found.date() == now.date() and ":" in typed else ""
        raise QuantityError(f"{quoted(text)} is still to come: this says when it happened{hint}")
    return found


def _instant_or_clock_time(text: str, now: datetime) -> datetime:
    try:
        return instant(text)
    except QuantityError:
        return clock_time(text, now)


def coming_day(text: str, now: datetime) -> datetime:
    """Return the instant until which something is put off: a number of days or weeks from `now`, or a date.

    Raises QuantityError for what cannot be read, what is over, and what lies over LONGEST days ahead.
    """
    typed = text.strip()
    match = re.match(r"[0-9]", typed)
    if typed.casefold() == "tomorrow":
        return now + timedelta(days=1)
    if match is not None and not re.match(r"[0-9]{4}-", typed):
        number, unit = split(typed, COMING)
        days = _DAYS.get(unit.strip().casefold())
        if days is None:
            raise QuantityError(f"{quoted(text)} cannot be read: expected {COMING}")
        if not 0 < number * days <= LONGEST:
            raise QuantityError(f"{quoted(text)} is out of range: nothing is put off for over ten years")
        return now + timedelta(days=number * days)
    try:
        found = _instant_or_clock_time(typed, now)
    except QuantityError as error:
        if " is no date " in str(error):
            raise
        raise QuantityError(f"{quoted(text)} cannot be read: expected {COMING}") from None
    if found <= now:
        raise QuantityError(f"{quoted(text)} is over already: expected {COMING}")
    if found > now + timedelta(days=LONGEST):
        raise QuantityError(f"{quoted(text)} is out of range: nothing is put off for over ten years")
    return found
