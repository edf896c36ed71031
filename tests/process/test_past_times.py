"""When something happened, and until when it is put off, as it is typed."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest

from darkroom.errors import QuantityError
from darkroom.process.text.past_times import past, until

NOW = datetime(2026, 5, 14, 9, 30, tzinfo=timezone(timedelta(hours=2)))


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("now", "2026-05-14T09:30:00+02:00"),
        ("yesterday", "2026-05-13T09:30:00+02:00"),
        ("Yesterday 14:20", "2026-05-13T14:20:00+02:00"),
        ("yesterday at 7.05", "2026-05-13T07:05:00+02:00"),
        ("3 days ago", "2026-05-11T09:30:00+02:00"),
        ("1 day ago", "2026-05-13T09:30:00+02:00"),
        ("2 weeks ago", "2026-04-30T09:30:00+02:00"),
        ("a week ago", "2026-05-07T09:30:00+02:00"),
        ("6 months ago", "2025-11-14T09:30:00+02:00"),
        ("A month ago", "2026-04-14T09:30:00+02:00"),
        ("08:15", "2026-05-14T08:15:00+02:00"),
        ("2026-05-01", "2026-05-01T09:30:00+02:00"),
        ("2026-05-01 14:20", "2026-05-01T14:20:00+02:00"),
        ("2026-05-01T14:20:30Z", "2026-05-01T16:20:30+02:00"),
        ("2026-05-14T09:30:30+02:00", "2026-05-14T09:30:30+02:00"),
    ],
)
def test_a_time_gone_by(text: str, means: str) -> None:
    """Words, times of day, days and instants are read in the zone of the clock."""
    assert past(text, NOW) == datetime.fromisoformat(means)


@pytest.mark.parametrize(
    "text",
    ["", "tomorrow", "9999 months ago", "a week", "14:20", "2026-05-15", "2027-01-01T00:00Z",
     "25:00", "2026-02-30", "0001-01-01", "3 days",
     "yesterday 25:00", "yesterdays", "2026-05-01T14:20+99:00", "٣ days ago", "９:00"],
)  # fmt: skip
def test_what_is_no_time_gone_by(text: str) -> None:
    """What has not come yet, is no time, or lies beyond the years told is refused with what would do."""
    with pytest.raises(QuantityError, match="expected"):
        past(text, NOW)


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("tomorrow", "2026-05-15T09:30:00+02:00"),
        ("7 days", "2026-05-21T09:30:00+02:00"),
        ("7d", "2026-05-21T09:30:00+02:00"),
        ("2 weeks", "2026-05-28T09:30:00+02:00"),
        ("2026-06-01", "2026-06-01T00:00:00+02:00"),
        ("2026-06-01 12:00", "2026-06-01T12:00:00+02:00"),
    ],
)
def test_a_time_to_come(text: str, means: str) -> None:
    """A day alone is its beginning."""
    assert until(text, NOW) == datetime.fromisoformat(means)


@pytest.mark.parametrize(
    "text", ["", "yesterday", "2026-05-14", "2026-05-01", "soon", "0 days", "3 days ago", "2999-01-01"]
)
def test_what_is_no_time_to_come(text: str) -> None:
    """What is over or cannot be read is refused."""
    with pytest.raises(QuantityError, match="expected"):
        until(text, NOW)


def test_a_month_before_a_day_that_it_lacks_is_its_last() -> None:
    """Three months before 31 May is the end of February."""
    assert past("3 months ago", NOW.replace(day=31)).date().isoformat() == "2026-02-28"
