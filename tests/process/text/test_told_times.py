"""When something happened, or until when it is put off, as people type it."""

from __future__ import annotations

from datetime import datetime

import pytest

from darkroom.errors import QuantityError
from darkroom.process.text.told_times import coming_day, past_time

NOW = datetime.fromisoformat("2026-05-14T10:30:20+02:00")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("09:20", "2026-05-14T09:20:00+02:00"),
        (" 9.20 ", "2026-05-14T09:20:00+02:00"),
        ("yesterday", "2026-05-13T10:30:00+02:00"),
        ("Yesterday 14:20", "2026-05-13T14:20:00+02:00"),
        ("yesterday at 14:20", "2026-05-13T14:20:00+02:00"),
        ("2026-05-12", "2026-05-12T10:30:00+02:00"),
        ("2026-05-12 14:20", "2026-05-12T14:20:00+02:00"),
        ("2026-05-12T14:20:30Z", "2026-05-12T14:20:30+00:00"),
        ("2026-05-12T14:20+05:30", "2026-05-12T14:20:00+05:30"),
        ("now", "2026-05-14T10:30:20+02:00"),
    ],
)
def test_what_happened_is_told_in_many_ways(text: str, expected: str) -> None:
    """A time of today, yesterday, a date, or an instant with its offset (RFC 3339, section 5.6)."""
    assert past_time(text, NOW) == datetime.fromisoformat(expected)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("14:20", "'14:20' is still to come: this says when it happened (did you mean 'yesterday 14:20'?)"),
        ("2026-06-01", "'2026-06-01' is still to come"),
        ("2026-02-30 10:00", "is no date and time of day"),
        ("25:10", "is no date and time of day"),
        ("noon", "'noon' cannot be read: expected 14:20, yesterday"),
        ("", "cannot be read"),
        ("yesterday noon", "cannot be read"),
        ("0001-01-01", "the year 1 is out of range"),
        ("²²:10", "cannot be read"),
    ],
)
def test_what_cannot_have_happened_is_refused(text: str, said: str) -> None:
    """What is still to come, is no time, or lies beyond the years told; with what was expected."""
    with pytest.raises(QuantityError) as raised:
        past_time(text, NOW)
    assert said in str(raised.value)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3 days", "2026-05-17T10:30:20+02:00"),
        ("1/2 day", "2026-05-14T22:30:20+02:00"),
        ("2 weeks", "2026-05-28T10:30:20+02:00"),
        ("tomorrow", "2026-05-15T10:30:20+02:00"),
        ("2026-06-01", "2026-06-01T10:30:00+02:00"),
    ],
)
def test_a_care_is_put_off_by_days_or_until_a_date(text: str, expected: str) -> None:
    """Counted from now, or the date itself."""
    assert coming_day(text, NOW) == datetime.fromisoformat(expected)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2026-05-01", "is over already"),
        ("0 days", "out of range"),
        ("9999 weeks", "out of range"),
        ("2126-05-01", "out of range"),
        ("3 moons", "'3 moons' cannot be read: expected 3 days, 2 weeks"),
        ("soon", "cannot be read"),
        ("", "cannot be read"),
        ("2026-13-01", "is no date and time of day"),
    ],
)
def test_what_is_no_day_to_come_is_refused(text: str, said: str) -> None:
    """What is over, too far off, or no time at all."""
    with pytest.raises(QuantityError) as raised:
        coming_day(text, NOW)
    assert said in str(raised.value)
