"""Instants as people write them for a command: ISO 8601 with the zone's offset. Pure."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import lru_cache

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.text.numbers import quoted

FIRST_YEAR, LAST_YEAR = 1800, 2200
"""The years of which anything is told: others are possible, but nobody makes plates in them."""

_EXPECTED = "an instant such as 2026-06-21T12:00+01:00"
_SPACED = late_pattern(r"(?<=[0-9]) +(?=[+\-−Zz])")
_SHAPE = late_pattern(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[Tt ].*)?")


def instant(text: str) -> datetime:
    """Return the instant in `2026-06-21T12:00+01:00`, `2026-06-21 11:00Z` or `2026-06-21 12:00 +01:00`.

    Raises QuantityError for what cannot be read, is no date or time of day, lies outside the years told, or
    has no zone: the same clock time is another instant elsewhere.
    """
    text = text.strip()
    written = _SPACED.sub("", text).replace("−", "-")
    if not written.isascii() or not _SHAPE.fullmatch(written):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {_EXPECTED}")
    try:
        found = datetime.fromisoformat(written.replace("z", "Z"))
    except ValueError:
        raise QuantityError(f"{quoted(text)} is no date and time of day: expected {_EXPECTED}") from None
    if found.utcoffset() is None:
        missing = "no time of day" if len(written) == 10 else "no zone"
        raise QuantityError(f"{quoted(text)} has {missing}: expected {_EXPECTED}, or Z at its end for UTC")
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise QuantityError(f"the year {found.year} is out of range: expected {FIRST_YEAR} to {LAST_YEAR}")
    return found


@lru_cache(maxsize=64)
def instant_of(text: str) -> float | None:
    """Return the seconds since the epoch of the RFC 3339 time of a line, None where it is none.

    One without a zone, which only hands write, is taken as UTC: it means the same on every machine.
    """
    try:
        time = datetime.fromisoformat(text)
        return (time if time.tzinfo else time.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return None
