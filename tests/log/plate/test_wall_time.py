"""Wall times for people, against what the standard library writes of them."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.log.plate.wall_time import clock, moment

ZONES = st.none() | st.integers(-1439, 1439).map(lambda minutes: timezone(timedelta(minutes=minutes)))


def written(at: str) -> str:
    """Return the time of the day of an ISO time, written anew."""
    return datetime.fromisoformat(at).strftime("%H:%M:%S")


@given(
    st.datetimes(timezones=ZONES),
    st.sampled_from("T _"),
    st.sampled_from(["auto", "milliseconds", "seconds"]),
)
def test_a_clock_shows_the_time_as_it_was_written(time: datetime, between: str, spec: str) -> None:
    """Whatever zone and parts of a second it has, and whatever stands before the hour."""
    at = time.isoformat(between, spec)
    assert clock(at) == written(at) == moment(at)[11:19]


@pytest.mark.parametrize(
    "at", ["20260301T140509", "2026-W09-7T14:05:09Z", "2026-03-01T1405", "2026-03-01", "2026-03-01T14:05"]
)
def test_other_ways_of_the_standard_are_read_too(at: str) -> None:
    """Basic dates, weeks and shorter times of ISO 8601 show the same time as written in full."""
    assert clock(at) == written(at)


@pytest.mark.parametrize(
    "at", ["", "soon", "2026-03-01T14:61:09", "2026-13-01T14:05:09", "xxxx-xx-xxT14:05:09"]
)
def test_words_that_are_no_time_stay(at: str) -> None:
    """Nothing is cut out of them."""
    assert clock(at) == moment(at) == at
