"""A time of day as it is typed for a place."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from darkroom.errors import QuantityError
from darkroom.process.text.clock_times import clock_time

NOW = datetime(2026, 6, 21, 9, 41, 30, 5, tzinfo=ZoneInfo("Europe/Berlin"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("14:30", "2026-06-21T14:30:00+02:00"),
        (" 7.05 ", "2026-06-21T07:05:00+02:00"),
        (" 2026-01-03 ", "2026-01-03T09:41:00+01:00"),
        ("2026-01-03 14:30", "2026-01-03T14:30:00+01:00"),
        ("2026-01-03T14:30", "2026-01-03T14:30:00+01:00"),
    ],
)
def test_what_is_not_typed_is_now(text: str, expected: str) -> None:
    """A time without a date is of today, a date without a time has the time of now, in the place's zone."""
    assert expected == clock_time(text, NOW).isoformat()


@pytest.mark.parametrize("text", ["", " ", "noon", "25:00", "12:60", "2026-02-30", "1430", "12:5"])
def test_what_is_no_time_is_refused(text: str) -> None:
    """Everything else is refused with what was expected."""
    with pytest.raises(QuantityError, match="expected a time such as 14:30"):
        clock_time(text, NOW)
