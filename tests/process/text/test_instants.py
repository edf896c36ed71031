"""Instants as people write them for a command."""

from __future__ import annotations

import time
from contextlib import suppress
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import QuantityError
from darkroom.process.text.instants import FIRST_YEAR, LAST_YEAR, instant, instant_of

SUMMER = timezone(timedelta(hours=1))


@pytest.mark.parametrize(
    "text",
    [
        "2026-06-21T12:00+01:00",
        "2026-06-21 12:00+01:00",
        "2026-06-21 12:00 +01:00",
        " 2026-06-21T12+01 ",
        "2026-06-21T11:00Z",
        "2026-06-21t11:00:00z",
        "2026-06-21 11:00 Z",
        "2026-06-21T04:00−07:00",
    ],
)
def test_ways_to_write_one_instant(text: str) -> None:
    """A date and a time of day with an offset or Z are read, with a space or a T between them."""
    assert instant(text) == datetime(2026, 6, 21, 11, tzinfo=UTC)


def test_the_zone_stays_as_written() -> None:
    """An instant keeps the offset it was written with."""
    assert instant("2026-06-21T12:00+01:00").utcoffset() == SUMMER.utcoffset(None)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2026-06-21T12:00", "has no zone: expected an instant such as 2026-06-21T12:00"),
        ("2026-06-21", "has no time of day"),
        ("2026-13-21T12:00Z", "is no date and time of day"),
        ("2026-06-31T12:00Z", "is no date and time of day"),
        ("2026-06-21T25:00Z", "is no date and time of day"),
        ("2026-06-21T12:00+25:00", "is no date and time of day"),
        ("2026-06-21T12:00 Europe/Berlin", "is no date and time of day"),
        ("2026-W25-1T12:00Z", "cannot be read"),
        ("21.6.2026 12:00", "cannot be read"),
        ("1799-12-31T12:00Z", "the year 1799 is out of range: expected 1800 to 2200"),
        ("9999-12-31T23:59-12:00", "the year 9999 is out of range"),
        ("0001-01-01T00:01+12:00", "the year 1 is out of range"),
        ("noon", "cannot be read"),
        ("", "cannot be read"),
        ("٢026-06-21T12:00Z", "cannot be read"),
    ],
)
def test_what_is_no_instant_is_refused(text: str, said: str) -> None:
    """What has no zone, no such date or time of day, or a far year is refused with what was expected."""
    with pytest.raises(QuantityError, match=said):
        instant(text)


@given(
    st.datetimes(
        datetime(FIRST_YEAR, 1, 1),
        datetime(LAST_YEAR, 12, 31),
        timezones=st.sampled_from([UTC, SUMMER, timezone(timedelta(hours=-9, minutes=-30))]),
    )
)
def test_what_python_writes_is_read_back(at: datetime) -> None:
    """The ISO form of any instant of the years told is read back as it was."""
    assert instant(at.isoformat()) == at


@given(st.text())
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text at all does anything else than be read or be refused."""
    with suppress(QuantityError):
        assert instant(text).utcoffset() is not None


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1970-01-02T01:00:00.000+01:00", 86400.0),
        ("1970-01-02", 86400.0),
        ("yesterday", None),
        ("", None),
    ],
)
def test_the_time_of_a_line_is_an_instant_on_every_machine(
    text: str, expected: float | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One without a zone is UTC, whatever the zone of the machine; what is no time is none."""
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    time.tzset()
    try:
        assert instant_of(text) == expected
    finally:
        monkeypatch.undo()
        time.tzset()
