"""Where the sun stands, when it rises and sets, and its way through a day. Pure.

Latitudes and longitudes in degrees, north and east positive; altitudes in degrees above the horizon, azimuths
in degrees clockwise from north. Instants carry their zone; a day is a date in a zone, which is an argument:
no zone file is read here. The sun's place is astral's (equations of the NOAA solar calculator, after J.
Meeus, Astronomical Algorithms); its rise, set and noon are not used, since near the poles and for places that
are none they answer what is not so.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo

import msgspec

from darkroom.errors import WrongUse
from darkroom.process.text.instants import FIRST_YEAR, LAST_YEAR

HORIZON = -0.8333
"""The altitude without refraction at which the sun's upper edge is seen on the horizon: 34' of refraction and
16' of radius (the convention of the nautical almanacs; NREL's solar position algorithm has the same)."""

_LEAST_REFRACTED = -1.0
"""Below this altitude the air's refraction is left out: there is no light that it would bend."""
_ASTRAL_LATITUDE = 89.8
"""astral takes every latitude nearer to a pole for this one."""
_POLE = 1e-6
"""So near to a pole, in degrees (0.1 m), every direction is the same."""
_ZONE_OFF = 4.0
"""A zone so many hours from the sun's own time is not the place's: on land they differ by 3½ at most."""
_NO_NOON = 89.75
"""From this latitude on the sun goes round the sky within half a degree of one height, its own width."""
_SAMPLE = 1800.0
_HALF_DAY = 43200.0
_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


class Position(msgspec.Struct, frozen=True):
    """Where the sun stands: its altitude as seen, with refraction, and its azimuth, None at a pole."""

    altitude: float
    azimuth: float | None


class SunDay(msgspec.Struct, frozen=True):
    """A day of the sun: its highest point, and when its upper edge rises before it and sets after it.

    `rise` and `set` are None where the sun does not cross the horizon; `sun` says whether there is any. All
    instants are in the zone that was asked for.
    """

    highest: datetime
    altitude: float
    rise: datetime | None
    set: datetime | None
    sun: bool


def check_place(latitude: float, longitude: float) -> None:
    """Raise WrongUse unless the two are degrees of a place on earth."""
    for name, value, most in (("latitude", latitude, 90), ("longitude", longitude, 180)):
        if not -most <= value <= most:  # NaN too
            raise WrongUse(f"{name} {value:g} is out of range: expected degrees from -{most} to {most}")


def has_noon(latitude: float) -> bool:
    """Return whether the sun stands visibly higher at one hour of a day than at the others: not at a pole."""
    return abs(latitude) < _NO_NOON


def position(latitude: float, longitude: float, at: datetime) -> Position:
    """Return where the sun stands at an instant.

    Within 0.02° of altitude and, below 80°, 0.06° of azimuth of NREL's solar position algorithm. Raises
    WrongUse for a place that is none, an instant without a zone, or one before 1800 or after 2200.
    """
    check_place(latitude, longitude)
    return _position(latitude, longitude, _in_utc(at))


def _position(latitude: float, longitude: float, utc: datetime) -> Position:
    geometric = _altitude(latitude, longitude, utc)
    seen = (
        _altitude(latitude, longitude, utc, refraction=True) if geometric >= _LEAST_REFRACTED else geometric
    )
    if abs(latitude) > 90 - _POLE:
        return Position(seen, None)
    from astral import Observer
    from astral.sun import azimuth

    return Position(seen, azimuth(Observer(latitude, longitude, 0.0), utc))


def day(latitude: float, longitude: float, on: date, zone: tzinfo) -> SunDay:
    """Return the sun's day of a date in a zone.

    The highest point lies within the date, rise and set in the twelve hours before and after it: where clocks
    do not follow the sun they may fall on the next date. Raises WrongUse as `position`.
    """
    check_place(latitude, longitude)
    start, end = _midnights(on, zone)
    length = (end - start).total_seconds()

    def altitude(seconds: float) -> float:
        return _altitude(latitude, longitude, start + timedelta(seconds=seconds))

    def told(seconds: float) -> datetime:
        return (start + timedelta(seconds=round(seconds))).astimezone(zone)

    highest = _peak(altitude, 0.0, length)
    before = _peak(lambda seconds: -altitude(seconds), highest - _HALF_DAY, highest)
    after = _peak(lambda seconds: -altitude(seconds), highest, highest + _HALF_DAY)
    sun = altitude(highest) >= HORIZON
    rise = _crossing(altitude, before, highest) if sun else None
    sets = _crossing(altitude, after, highest) if sun else None
    return SunDay(
        told(highest),
        _position(latitude, longitude, told(highest).astimezone(UTC)).altitude,
        None if rise is None else told(rise),
        None if sets is None else told(sets),
        sun,
    )


def date_at(longitude: float, at: datetime) -> tuple[date, tzinfo]:
    """Return the date at a place at an instant, and its zone: the instant's where that can be the place's.

    A zone more than four hours from the sun's own time there, as UTC is in the Pacific, gives way to the
    sun's time in whole hours; the instant stays in its zone.
    """
    offset = at.utcoffset()
    if offset is None or at.tzinfo is None:
        raise _without_zone(at)
    off = (offset.total_seconds() / 3600 - longitude / 15 + 12) % 24 - 12  # either side of the date line
    if abs(off) <= _ZONE_OFF:
        return at.date(), at.tzinfo
    zone = timezone(timedelta(hours=round(longitude / 15)))
    return _in_utc(at).astimezone(zone).date(), zone


def day_at(latitude: float, longitude: float, at: datetime) -> SunDay:
    """Return the sun's day that a place has at an instant; its instants are in the zone of that one."""
    check_place(latitude, longitude)
    _in_utc(at)
    on, zone = date_at(longitude, at)
    of_zone = day(latitude, longitude, on, zone)
    told = [
        None if instant is None else instant.astimezone(at.tzinfo) for instant in (of_zone.rise, of_zone.set)
    ]
    return SunDay(of_zone.highest.astimezone(at.tzinfo), of_zone.altitude, told[0], told[1], of_zone.sun)


def curve(
    latitude: float, longitude: float, on: date, zone: tzinfo, minutes: float = 15.0
) -> list[tuple[datetime, float]]:
    """Return (instant, altitude) from one midnight of a date to the next, every so many minutes.

    Raises WrongUse as `position`, and for steps that are not from a minute to six hours.
    """
    check_place(latitude, longitude)
    if not 1 <= minutes <= 360:
        raise WrongUse(f"steps of {minutes:g} min are out of range: expected 1 to 360 min")
    start, end = _midnights(on, zone)
    steps = math.floor((end - start) / timedelta(minutes=minutes) + 1e-9)
    instants = [start + step * timedelta(minutes=minutes) for step in range(steps + 1)]
    return [(utc.astimezone(zone), _position(latitude, longitude, utc).altitude) for utc in instants]


def _in_utc(at: datetime) -> datetime:
    """Return an instant in UTC. Raises WrongUse where it has no zone or lies outside the years told."""
    if at.utcoffset() is None:
        raise _without_zone(at)
    _check_year(at.year)
    return at.astimezone(UTC)


def _check_year(year: int) -> None:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise WrongUse(f"the year {year} is out of range: expected {FIRST_YEAR} to {LAST_YEAR}")


def _without_zone(at: datetime) -> WrongUse:
    return WrongUse(
        f"{at.isoformat(timespec='minutes')} has no zone: write {at.isoformat(timespec='minutes')}+01:00, "
        "or Z for Greenwich"
    )


def _midnights(on: date, zone: tzinfo) -> tuple[datetime, datetime]:
    """Return the first and the last instant of a date in a zone, in UTC. Raises WrongUse for far years."""
    _check_year(on.year)
    following = on + timedelta(days=1)
    start, end = (datetime(day.year, day.month, day.day, tzinfo=zone) for day in (on, following))
    return start.astimezone(UTC), end.astimezone(UTC)


def _altitude(latitude: float, longitude: float, utc: datetime, *, refraction: bool = False) -> float:
    """Return the sun's altitude at an instant in UTC, at any latitude."""
    from astral import Observer
    from astral.sun import elevation

    if abs(latitude) <= _ASTRAL_LATITUDE:
        return elevation(Observer(latitude, longitude, 0.0), utc, refraction)
    # At the pole itself the hour counts for nothing: the altitude is the mean over two opposite meridians,
    # and on the last fifth of a degree it changes in proportion (within 0.0002°).
    edge = math.copysign(_ASTRAL_LATITUDE, latitude)
    here = elevation(Observer(edge, longitude, 0.0), utc, refraction)
    across = elevation(Observer(edge, longitude - math.copysign(180.0, longitude), 0.0), utc, refraction)
    share = (90.0 - abs(latitude)) / (90.0 - _ASTRAL_LATITUDE)
    return (here + across) / 2 + share * (here - across) / 2


def _peak(height: Callable[[float], float], start: float, end: float) -> float:
    """Return where between two instants a height is greatest: half-hourly samples, then golden section."""
    count = max(2, math.ceil((end - start) / _SAMPLE))
    samples = [start + (end - start) * step / count for step in range(count + 1)]
    best = max(range(count + 1), key=lambda step: height(samples[step]))
    low, high = samples[max(0, best - 1)], samples[min(count, best + 1)]
    while high - low > 0.5:
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        if height(left) < height(right):
            low = left
        else:
            high = right
    return max((low, (low + high) / 2, high, samples[best]), key=height)


def _crossing(altitude: Callable[[float], float], low: float, high: float) -> float | None:
    """Return when the sun crosses the horizon between its lowest and its highest point, or None."""
    if altitude(low) >= HORIZON:
        return None
    while abs(high - low) > 0.5:
        middle = (low + high) / 2
        if altitude(middle) < HORIZON:
            low = middle
        else:
            high = middle
    return (low + high) / 2
