"""The sun's place, rise and set against NREL's solar position algorithm and published values."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, timedelta, timezone

import pandas
import pvlib
import pytest

from darkroom.exposure import sun

GOLDEN = (39.742476, -105.1786)
MOUNTAIN = timezone(timedelta(hours=-7))


def seconds_apart(found: datetime | None, told: datetime) -> float:
    """Return how far apart two instants are."""
    assert found is not None
    return abs((found - told).total_seconds())


# I. Reda and A. Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302, A.5;
# the second day as carried in the tests of pvlib. The example's air is thinner (820 mbar) than ours.
@pytest.mark.parametrize(
    ("day", "zenith", "azimuth"), [(17, 50.11162, 194.34024), (18, 50.47826, 194.311132)]
)
def test_the_worked_example_of_the_reference_algorithm(day: int, zenith: float, azimuth: float) -> None:
    """Zenith angle and azimuth of the published example come out within 0.02°."""
    found = sun.position(*GOLDEN, datetime(2003, 10, day, 12, 30, 30, tzinfo=MOUNTAIN))
    assert found.altitude == pytest.approx(90 - zenith, abs=0.02)
    assert found.azimuth == pytest.approx(azimuth, abs=0.02)


# The algorithm's web calculator for Golden, Colorado, as carried in the tests of pvlib; the last sunset is
# the algorithm's own, since the one printed there is of the day before.
@pytest.mark.parametrize(
    ("on", "rise", "transit", "sets"),
    [
        (date(2015, 1, 2), (7, 21, 55), (12, 4, 45), (16, 47, 43)),
        (date(2015, 8, 2), (5, 0, 27), (12, 6, 58), (19, 12, 53)),
    ],
)
def test_published_times_of_rise_transit_and_set(
    on: date, rise: tuple[int, int, int], transit: tuple[int, int, int], sets: tuple[int, int, int]
) -> None:
    """The sun rises and sets within five seconds of the published times, and is highest near its transit."""
    found = sun.day(*GOLDEN, on, MOUNTAIN)
    told = [datetime(on.year, on.month, on.day, *clock, tzinfo=MOUNTAIN) for clock in (rise, transit, sets)]
    assert seconds_apart(found.rise, told[0]) <= 5
    assert (
        seconds_apart(found.highest, told[1]) <= 15
    )  # the declination moves, so it is not quite the transit
    assert seconds_apart(found.set, told[2]) <= 5


LACOCK, ROCHESTER, SYDNEY = (51.4153, -2.1173), (43.1566, -77.6088), (-33.8688, 151.2093)
TROMSO, QUITO = (69.6492, 18.9553), (-0.1807, -78.4678)


# Computed with the reference algorithm (pvlib 0.16.1, 101325 Pa, 12 °C, sea level): apparent altitude,
# azimuth.
@pytest.mark.parametrize(
    ("place", "at", "altitude", "azimuth"),
    [
        (LACOCK, "2024-03-20T12:15Z", 38.754, 179.752), (LACOCK, "2024-06-20T06:00Z", 16.650, 73.029),
        (LACOCK, "2024-12-21T12:06Z", 15.204, 179.819), (LACOCK, "2024-09-22T15:00Z", 26.284, 231.735),
        (ROCHESTER, "2024-04-10T14:00Z", 35.639, 115.422), (ROCHESTER, "2024-07-04T22:00Z", 28.780, 275.197),
        (SYDNEY, "2024-01-15T02:00Z", 77.339, 4.512), (SYDNEY, "2024-06-21T22:30Z", 14.511, 48.120),
        (TROMSO, "2024-06-21T00:00Z", 4.219, 16.970), (TROMSO, "2024-12-21T10:45Z", -3.091, 180.587),
        (QUITO, "2024-06-20T14:00Z", 37.026, 59.969),
    ],
)  # fmt: skip
def test_altitudes_of_five_latitudes(
    place: tuple[float, float], at: str, altitude: float, azimuth: float
) -> None:
    """Altitudes in both hemispheres, in the tropics and beyond the polar circle agree within 0.03°."""
    found = sun.position(*place, datetime.fromisoformat(at))
    assert found.altitude == pytest.approx(altitude, abs=0.03)
    assert found.azimuth == pytest.approx(azimuth, abs=0.05)


# Published checks of astral 3.2: London, New Delhi, Riyadh.
@pytest.mark.parametrize(
    ("place", "at", "altitude", "azimuth", "off"),
    [
        ((51.5, -0.1333), "2015-12-14T11:00Z", 14.381, 166.968, 0.1),
        ((51.5, -0.1333), "2015-12-14T20:01Z", -37.371, 279.399, 0.1),
        ((28.61, 77.22), "2001-06-21T13:11Z", 7.41, 292.76, 0.1),
        ((24.71355, 46.6753), "2022-05-01T14:00+03:00", 58, None, 0.5),
    ],
)
def test_published_checks_of_other_places(
    place: tuple[float, float], at: str, altitude: float, azimuth: float | None, off: float
) -> None:
    """Published altitudes and azimuths of three cities come out within their own precision."""
    found = sun.position(*place, datetime.fromisoformat(at))
    assert found.altitude == pytest.approx(altitude, abs=off)
    assert azimuth is None or found.azimuth == pytest.approx(azimuth, abs=off)


def test_any_place_and_instant_agrees_with_the_reference_algorithm() -> None:
    """Anywhere on earth, in two thousand instants of two centuries, altitudes are right within 0.02°."""
    chance = random.Random(20)
    for _ in range(20):
        latitude, longitude = chance.uniform(-90, 90), chance.uniform(-180, 180)
        start = datetime(1901, 1, 1, tzinfo=UTC)
        instants = [start + timedelta(minutes=chance.randrange(200 * 365 * 1440)) for _ in range(100)]
        theirs = pvlib.solarposition.spa_python(
            pandas.DatetimeIndex(instants), latitude, longitude, altitude=0, pressure=101325, temperature=12
        )
        for at, row in zip(instants, theirs.itertuples(), strict=True):
            found = sun.position(latitude, longitude, at)
            seen = row.elevation if row.elevation < -1 else row.apparent_elevation
            if abs(row.elevation) > 2:  # nearer to the horizon refraction is a convention
                assert found.altitude == pytest.approx(seen, abs=0.02), (latitude, longitude, at)
            if -80 < row.elevation < 80 and found.azimuth is not None:
                apart = (found.azimuth - row.azimuth + 180) % 360 - 180
                assert abs(apart) < 0.06, (latitude, longitude, at)


def test_rise_and_set_agree_with_the_reference_algorithm() -> None:
    """In both hemispheres, all through a year, rise and set are right within a quarter of a minute."""
    for latitude, longitude in (LACOCK, ROCHESTER, SYDNEY, QUITO):
        zone = timezone(timedelta(hours=round(longitude / 15)))
        for month in range(1, 13):
            on = date(2026, month, 15)
            noon = datetime(2026, month, 15, 12, tzinfo=zone)
            # The library works by UTC's days and may give a neighbouring day's clock time this day's date.
            days = pandas.DatetimeIndex([noon + timedelta(days=shift) for shift in (-1, 0, 1)])
            theirs = pvlib.solarposition.sun_rise_set_transit_spa(days, latitude, longitude)
            found = sun.day(latitude, longitude, on, zone)
            for ours, column in ((found.rise, theirs.sunrise), (found.set, theirs.sunset)):
                assert ours is not None
                assert ours.date() == on
                apart = [(ours - each).total_seconds() for each in column]
                assert min(abs((each + 43200) % 86400 - 43200) for each in apart) < 15


def test_the_reference_algorithm_sees_the_sun_rise_and_set() -> None:
    """Wherever the sun rises or sets, the reference algorithm has it on the horizon, to near the poles."""
    chance = random.Random(3)
    crossings = 0
    for _ in range(60):
        latitude, longitude = chance.uniform(-89.9, 89.9), chance.uniform(-180, 180)
        zone = timezone(timedelta(hours=round(longitude / 15)))
        found = sun.day(latitude, longitude, date(1900, 1, 1) + timedelta(days=chance.randrange(73000)), zone)
        instants = [instant for instant in (found.rise, found.set) if instant is not None]
        if not instants:
            continue
        index = pandas.DatetimeIndex([instant.astimezone(UTC) for instant in instants])
        theirs = pvlib.solarposition.spa_python(index, latitude, longitude)
        assert list(theirs.elevation) == pytest.approx([sun.HORIZON] * len(instants), abs=0.02)
        crossings += len(instants)
    assert crossings > 80
