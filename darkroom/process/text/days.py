"""Days as texts show them: `12 May 2026`. Pure; the same in every locale."""

from __future__ import annotations

from datetime import date

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def show_day(day: date) -> str:
    """Return a day as `12 May 2026`."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
