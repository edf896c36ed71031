"""What people type of a filter, as the catalogue's question has it: stars, days, temperatures. Pure."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date

from darkroom.errors import DarkroomError, WrongUse, nearest

AROUND = 0.5
"""A thermometer's last digit stands for what lies so many °C around it."""
Days = tuple[str, str]
"""The first and the last local day, YYYY-MM-DD."""


def stars(text: str, name: str) -> tuple[int, int]:
    """Return (least, most) from `3`, `3..5`, `3..`; `name` is what the text was typed for.

    Raises WrongUse, as all of these do.
    """
    found = re.fullmatch(r"\s*([0-5])?\s*(\.\.)?\s*([0-5])?\s*", text)
    if found is None or not (found[1] or found[3]) or (found[1] and found[3] and not found[2]):
        raise WrongUse(f"{name}: '{text}' is neither 0 to 5 nor a range such as 3..5")
    if found[2] is None:
        return int(found[1] or found[3]), int(found[1] or found[3])
    return int(found[1] or 0), int(found[3] or 5)


def day(text: str, name: str) -> str:
    """Return a day from `2026-03-01`."""
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise WrongUse(f"{name}: '{text}' is no date such as 2026-03-01") from None


def days(text: str, name: str) -> Days:
    """Return the days of `2026`, `2026-03` or `2026-03-01`."""
    found = re.fullmatch(r"\s*([0-9]{4})(?:-([0-9]{2}))?\s*", text)
    if found is None:
        one = day(text, name)
        return one, one
    year, month = found[1], found[2]
    if int(year) < 1:
        raise WrongUse(f"{name}: '{text}' is no year such as 2026")
    if month is None:
        return f"{year}-01-01", f"{year}-12-31"
    if not 1 <= int(month) <= 12:
        raise WrongUse(f"{name}: '{text}' is no month such as 2026-03")
    return f"{year}-{month}-01", f"{year}-{month}-{monthrange(int(year), int(month))[1]:02d}"


def heat(text: str, name: str) -> tuple[str, tuple[float, float]]:
    """Return (source, (least, most) °C) from `bath=18C..20C`."""
    from darkroom.process.model import SOURCES

    source, sign, rest = (part.strip() for part in text.partition("="))
    least, _, most = (part.strip() for part in rest.partition(".."))
    if not sign or not (least or most):
        raise WrongUse(f"{name}: '{text}' is not of the form bath=18C..20C")
    if source not in SOURCES:
        near = nearest(source, SOURCES)
        hint = f" (did you mean '{near}'?)" if near else f": {', '.join(SOURCES)}"
        raise WrongUse(f"{name}: '{source}' is no source{hint}")
    return source, degrees(rest, name, text)


def degrees(rest: str, name: str, text: str | None = None, bare: str = "") -> tuple[float, float]:
    """Return (least, most) °C from `18C..20C`, `18..20C`, `18C..`; one value takes half a degree more.

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
