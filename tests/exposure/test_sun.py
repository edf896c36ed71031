"""The sun at odd places and instants: the poles, polar day and night, the date line, what is no place."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import WrongUse
from darkroom.exposure import sun

TROMSO = (69.6492, 18.9553)


@pytest.mark.parametrize(
    ("latitude", "longitude", "word"),
    [
        (91.0, 0.0, "latitude 91 is out of range"),
        (-90.1, 0.0, "latitude -90.1"),
        (float("nan"), 0.0, "latitude nan"),
        (float("inf"), 0.0, "latitude inf"),
        (0.0, 181.0, "longitude 181"),
        (0.0, float("nan"), "longitude nan"),
    ],
)
def test_what_is_no_place_is_refused(latitude: float, longitude: float, word: str) -> None:
    """A latitude or longitude that is out of range or no number is refused with its value and the range."""
    noon = datetime(2026, 6, 21, 12, tzinfo=UTC)
    for ask in (
        lambda: sun.position(latitude, longitude, noon),
        lambda: sun.day(latitude, longitude, noon.date(), UTC),
        lambda: sun.day_at(latitude, longitude, noon),
        lambda: sun.curve(latitude, longitude, noon.date(), UTC),
    ):
        with pytest.raises(WrongUse, match=word):
            ask()


def test_an_instant_without_a_zone_is_refused() -> None:
    """An instant that does not say its zone is refused, and told how to write it."""
    with pytest.raises(WrongUse, match=r"has no zone: write 2026-06-21T12:00\+01:00"):
        sun.position(51.0, 0.0, datetime(2026, 6, 21, 12))
    with pytest.raises(WrongUse, match="has no zone"):
        sun.day_at(51.0, 0.0, datetime(2026, 6, 21, 12))


def test_the_first_and_the_last_day_have_a_sun() -> None:
    """The first and the last day of the years told have a curve and a rise, east and west of Greenwich."""
    for on in (date(1800, 1, 1), date(2200, 12, 31)):
        for hours in (-12, 14):
            zone = timezone(timedelta(hours=hours))
            found = sun.day(30.0, hours * 15.0 - 30 * (hours > 0), on, zone)
            assert found.rise is not None
            assert found.rise.date() == on
            assert len(sun.curve(30.0, 0.0, on, zone)) == 97
            assert sun.day_at(30.0, 0.0, datetime(on.year, on.month, on.day, 12, tzinfo=UTC)).sun


PLACES = st.tuples(
    st.one_of(st.floats(-90, 90), st.sampled_from((-90.0, -89.95, 0.0, 66.56, 89.8, 90.0))),
    st.one_of(st.floats(-180, 180), st.sampled_from((-180.0, 0.0, 180.0))),
)
INSTANTS = st.datetimes(
    datetime(1800, 1, 2),
    datetime(2200, 12, 30),
    timezones=st.sampled_from([UTC, timezone(timedelta(hours=14)), timezone(timedelta(hours=-9.5))]),
)


@given(PLACES, INSTANTS)
def test_any_place_has_a_sun_at_any_instant(place: tuple[float, float], at: datetime) -> None:
    """Anywhere, at any time, there is an altitude; rise, highest point and set come in this order."""
    found = sun.position(*place, at)
    assert -90 <= found.altitude <= 90
    assert found.azimuth is None or 0 <= found.azimuth <= 360
    day = sun.day_at(*place, at)
    assert day.highest.utcoffset() == at.utcoffset()
    assert day.altitude >= sun.position(*place, day.highest + timedelta(minutes=20)).altitude - 0.001 or (
        abs(place[0]) > 89  # there the season counts for more than the hour
    )
    half = timedelta(hours=12, seconds=2)
    for before, after in ((day.rise, day.highest), (day.highest, day.set)):
        if before is not None and after is not None:
            assert timedelta(0) <= after - before <= half
    assert day.sun or (day.rise is None and day.set is None)


class Zoneless(tzinfo):
    """A zone that does not know its offset."""

    def utcoffset(self, dt: datetime | None) -> timedelta | None:
        """Return nothing."""
        return None


def test_a_zone_without_an_offset_is_no_zone() -> None:
    """An instant whose zone does not know its offset is refused like one without a zone."""
    with pytest.raises(WrongUse, match="has no zone"):
        sun.day_at(51.0, 0.0, datetime(2026, 6, 21, 12, tzinfo=Zoneless()))


@pytest.mark.parametrize("at", [datetime.min.replace(tzinfo=UTC), datetime.max.replace(tzinfo=UTC)])
def test_years_far_away_are_refused(at: datetime) -> None:
    """The first and the last instant that can be written are refused and do not overflow."""
    for ask in (sun.position, sun.day_at):
        with pytest.raises(WrongUse, match="expected 1800 to 2200"):
            ask(51.0, 0.0, at)
    with pytest.raises(WrongUse, match="year"):
        sun.day(51.0, 0.0, at.date(), UTC)


def test_polar_night_has_no_sun() -> None:
    """In Tromsø in December the sun does not rise, and its highest point is below the horizon."""
    found = sun.day(*TROMSO, date(2026, 12, 21), UTC)
    assert (found.rise, found.set, found.sun) == (None, None, False)
    assert found.altitude == pytest.approx(-3.1, abs=0.1)


def test_midnight_sun_neither_rises_nor_sets() -> None:
    """In Tromsø in June the sun shines all day: no rise, no set, but there is sun."""
    found = sun.day(*TROMSO, date(2026, 6, 21), UTC)
    assert (found.rise, found.set, found.sun) == (None, None, True)


def test_the_year_at_the_polar_circle_goes_over_without_a_gap() -> None:
    """In Tromsø nights become days, and days midnight sun; on the first of these the sun rises and stays."""
    kinds, lengths = [], []
    for number in range(365):
        found = sun.day(*TROMSO, date(2026, 1, 1) + timedelta(days=number), UTC)
        if found.rise is None or found.set is None:
            last = "rises" if found.rise else "sets" if found.set else "day"
            kinds.append(last if found.sun else "night")
            continue
        assert found.rise < found.highest < found.set
        kinds.append("both")
        lengths.append((number, (found.set - found.rise).total_seconds() / 3600))
    order = [kind for kind, before in zip(kinds, ["", *kinds], strict=False) if kind != before]
    assert order == ["night", "both", "rises", "day", "sets", "both", "night"]
    spring = [length for number, length in lengths if number < 172]
    assert spring == sorted(spring)


def test_at_the_pole_the_sun_has_an_altitude_and_no_direction() -> None:
    """At a pole the altitude is the sun's declination at any hour and longitude; there is no azimuth."""
    for longitude in (-180.0, -50.0, 0.0, 180.0):
        found = sun.position(90, longitude, datetime(2024, 6, 20, 21, tzinfo=UTC))
        assert found.azimuth is None
        assert found.altitude == pytest.approx(23.475, abs=0.005)  # obliquity 23.437 and refraction
    found = sun.position(-90, 0.0, datetime(2024, 6, 20, 21, tzinfo=UTC))
    assert found.altitude == pytest.approx(-23.437, abs=0.005)


def test_altitude_goes_over_to_the_pole_without_a_jump() -> None:
    """From 89.7° to the pole the altitude changes in proportion, on either side of where astral stops."""
    at = datetime(2026, 5, 1, 12, tzinfo=UTC)
    altitudes = [sun.position(89.7 + step * 0.05, 0.0, at).altitude for step in range(7)]
    steps = [after - before for before, after in pairwise(altitudes)]
    assert steps == pytest.approx([-0.05] * 6, abs=0.001)


def test_the_pole_has_one_day_a_year() -> None:
    """At the pole the sun is up in June and down in December, and rises on no clock but at the equinox."""
    june = sun.day(90, 0.0, date(2026, 6, 21), UTC)
    assert (june.rise, june.set, june.sun) == (None, None, True)
    december = sun.day(90, 0.0, date(2026, 12, 21), UTC)
    assert (december.rise, december.set, december.sun) == (None, None, False)


def test_noon_is_where_one_hour_is_higher() -> None:
    """Within a quarter of a degree of a pole the day's heights differ by less than the sun is wide."""
    for latitude, noon in ((90, False), (-89.8, False), (89.7, True), (-66.0, True), (0.0, True)):
        heights = [altitude for _, altitude in sun.curve(latitude, 0.0, date(2026, 6, 21), UTC, 60)]
        assert sun.has_noon(latitude) is noon
        assert (max(heights) - min(heights) > 0.55) is noon


def test_highest_in_the_south_is_towards_north() -> None:
    """In Sydney the sun is highest in the north and in London in the south."""
    sydney = sun.day(-33.87, 151.21, date(2026, 6, 21), timezone(timedelta(hours=10)))
    azimuth = sun.position(-33.87, 151.21, sydney.highest).azimuth
    assert azimuth is not None
    assert min(azimuth, 360 - azimuth) < 1
    london = sun.day(51.5, -0.13, date(2026, 6, 21), UTC)
    assert sun.position(51.5, -0.13, london.highest).azimuth == pytest.approx(180, abs=1)


def test_a_day_is_the_places_own_where_the_zone_is_not() -> None:
    """An instant told in UTC belongs to the date it is at the place: noon in Auckland is not yesterday's."""
    at = datetime(2026, 6, 20, 23, 0, tzinfo=UTC)  # 11 in the morning of the 21st there
    found = sun.day_at(-36.85, 174.76, at)
    assert found.highest.tzinfo is UTC
    assert timedelta(0) < found.highest - at < timedelta(hours=2)
    there = sun.day(-36.85, 174.76, date(2026, 6, 21), timezone(timedelta(hours=12)))
    assert found.highest == there.highest
    assert (found.rise, found.set) == (there.rise, there.set)


@pytest.mark.parametrize(
    ("zone", "longitude"),
    [
        ("Asia/Urumqi", 87.6), ("Asia/Shanghai", 76.0), ("Europe/Madrid", -8.5), ("Pacific/Apia", -171.8),
        ("Pacific/Kiritimati", -157.4), ("Pacific/Auckland", 174.8), ("America/Adak", -176.6),
    ],
)  # fmt: skip
def test_the_zones_of_the_world_keep_their_own_dates(zone: str, longitude: float) -> None:
    """A place's legal time counts, however far it is from the sun's, on either side of the date line."""
    at = datetime(2026, 7, 1, 0, 30, tzinfo=ZoneInfo(zone))
    assert sun.date_at(longitude, at) == (date(2026, 7, 1), at.tzinfo)


def test_a_day_of_twenty_three_hours_is_gone_through() -> None:
    """On the day the clocks change the curve goes from midnight to midnight, in the zone's own time."""
    zone = ZoneInfo("Europe/London")
    points = sun.curve(51.5, -0.13, date(2026, 3, 29), zone, minutes=60)
    assert len(points) == 24
    assert [points[0][0].hour, points[1][0].hour, points[2][0].hour, points[-1][0].hour] == [0, 2, 3, 0]
    assert points[-1][0].date() == date(2026, 3, 30)
    assert all(altitude == sun.position(51.5, -0.13, at).altitude for at, altitude in points)


@pytest.mark.parametrize("minutes", [0.0, -5.0, float("nan"), 1000.0])
def test_steps_of_a_curve_have_a_length(minutes: float) -> None:
    """A curve with steps of no time, of less or of too much is refused."""
    with pytest.raises(WrongUse, match="expected 1 to 360 min"):
        sun.curve(51.5, -0.13, date(2026, 3, 29), UTC, minutes)
