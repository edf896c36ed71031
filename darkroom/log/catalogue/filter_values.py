"""Values typed in a filter, parsed: stars, days, temperatures. Pure."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date

from darkroom.errors import DarkroomError, WrongUse, nearest

AROUND = 0.5
"""A single temperature matches readings at most so many °C away: about a thermometer's last digit."""
Days = tuple[str, str]
"""The first and the last local day, YYYY-MM-DD."""


def stars(text: str, name: str) -> tuple[int, int]:
    """Return (least, most) from `3`, `3..5`, `3..`; `name` is what the text was typed for.

    Raises WrongUse, as all of these do.
    """
    match = re.fullmatch(r"\s*([0-5])?\s*(\.\.)?\s*([0-5])?\s*", text)
    if match is None or not (match[1] or match[3]) or (match[1] and match[3] and not match[2]):
        raise WrongUse(f"{name}: '{text}' is neither 0 to 5 nor a range such as 3..5")
    if match[2] is None:
        return int(match[1] or match[3]), int(match[1] or match[3])
    return int(match[1] or 0), int(match[3] or 5)


def day(text: str, name: str) -> str:
    """Return a day from `2026-03-01`."""
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise WrongUse(f"{name}: '{text}' is no date such as 2026-03-01") from None


def days(text: str, name: str) -> Days:
    """Return the days of `2026`, `2026-03` or `2026-03-01`."""
    match = re.fullmatch(r"\s*([0-9]{4})(?:-([0-9]{2}))?\s*", text)
    if match is None:
        single_day = day(text, name)
        return single_day, single_day
    year, month = match[1], match[2]
    if int(year) < 1:
        raise WrongUse(f"{name}: '{text}' is no year such as 2026")
    if month is None:
        return f"{year}-01-01", f"{year}-12-31"
    if not 1 <= int(month) <= 12:
        raise WrongUse(f"{name}: '{text}' is no month such as 2026-03")
    return f"{year}-{month}-01", f"{year}-{month}-{monthrange(int(year), int(month))[1]:02d}"


def source_range(text: str, name: str) -> tuple[str, tuple[float, float]]:
    """Return (source, (least, most) °C) from `bath=18C..20C`."""
    from darkroom.process.model import SOURCES

    source, sign, rest = (part.strip() for part in text.partition("="))
    least, _, most = (part.strip() for part in rest.partition(".."))
    if not sign or not (least or most):
        raise WrongUse(f"{name}: '{text}' is not of the form bath=18C..20C")
    if source not in SOURCES:
        suggestion = nearest(source, SOURCES)
        hint = f" (did you mean '{suggestion}'?)" if suggestion else f": {', '.join(SOURCES)}"
        raise WrongUse(f"{name}: '{source}' is no source{hint}")
    return source, celsius_range(rest, name, text)


def celsius_range(rest: str, name: str, text: str | None = None, bare: str = "") -> tuple[float, float]:
    """Return (least, most) °C from `18C..20C`, `18..20C`, `18C..`; a single value matches `AROUND` it.

    `bare` is the unit of numbers that have none; otherwise the second end lends the first its own.
    """
    least, dots, most = (part.strip() for part in rest.partition(".."))
    unit = re.sub(r"^[-+\u2212]?[0-9.,/ ]*", "", most) or bare
    if most and bare and re.fullmatch(r"[-+\u2212]?[0-9.,]+", most):
        most += bare
    if least and unit and re.fullmatch(r"[-+\u2212]?[0-9.,]+", least):
        least += unit
    low = _celsius(least, name) if least else -300.0
    high = _celsius(most, name) if most else 1000.0
    if not dots:
        return low - AROUND, low + AROUND
    if low > high:
        raise WrongUse(f"{name}: '{text or rest}' goes from warm to cold")
    return low, high


def _celsius(text: str, name: str) -> float:
    from darkroom.process.text.temperatures import temperature

    try:
        return temperature(text)
    except DarkroomError as error:
        raise WrongUse(f"{name}: {error}") from None
