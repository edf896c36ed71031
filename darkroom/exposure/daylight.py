"""How bright a kind of light is where the sun stands so high under such a sky, and the best hours of a day.
Pure.

Everything is an exposure value at ISO 100 as a collodion plate sees it. A clear sky on flat ground with the
sun at 60° is EV 15, half a stop in doubt; the table of `actinic` says the rest, its colour included.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo

import msgspec

from darkroom.errors import WrongUse, nearest
from darkroom.exposure import actinic, sun
from darkroom.exposure.light_kinds import EV_DOUBT, light_kind
from darkroom.process.scene import SKIES

REFERENCE_EV = 15.0
"""Flat ground under a clear sky with the sun at 60°: the sunny side of the photographers'
rule "f/16 at 1/ISO". Common practice, no source."""
SHADE_ALTITUDE = 40.0
"""The usual brightness of shade and windows is meant for this altitude of the sun: from March to November,
from nine to four by the sun, at latitude 40° the mean light of the shade is that of 39°, at 50° that of
31°."""
BEST_WITHIN = 0.5
"""The best hours are within half a stop of the day's best: less is not seen on a plate."""

_OUTDOORS = {"sun": "clear", "cloud": "light-cloud"}
"""Lights in the open, and the sky where none is told."""
_SKYLIGHT = ("shade", "window")
_USUAL = {
    "sun": "usual in the sun",
    "cloud": "usual under cloud",
    "shade": "usual in open shade",
    "window": "usual at a window",
    "tungsten": "usual for tungsten lamps",
    "led": "usual for LED lamps",
}
_STEP = 5.0


class Sky(msgspec.Struct, frozen=True):
    """A state of the sky: how many stops it takes from a clear one's light, and an EV's doubt under it."""

    name: str
    lost: float
    doubt: float
    says: str


SKY = {
    sky.name: sky
    for sky in (
        Sky("clear", 0.0, 0.5, "clear, the shadows sharp"),
        Sky("hazy", 0.5, 0.7, "hazy, the shadows soft"),
        Sky("light-cloud", 1.0, 0.8, "light cloud, hardly a shadow"),
        Sky("heavy-cloud", 3.0, 1.0, "heavy cloud, no shadow: an eighth of a clear day"),
        Sky("shade", 0.0, 1.0, "clear, and no sun on what faces the light: open shade"),
    )
}
"""Every word of `SKIES`. Stops and doubts are common practice without a source but the eighth, from a
manual of the early 1900s ("dull heavy cloud"); doubts are standard deviations of the EV in stops."""


class Light(msgspec.Struct, frozen=True):
    """How bright it should be: the EV, where it is from (of `EV_ORIGINS`), its doubt in stops, in words."""

    ev: float
    ev_from: str
    doubt: float
    says: str


class LightPoint(msgspec.Struct, frozen=True):
    """The light at one instant of a day; `ev` is None where nothing is known of it: the sun is too low."""

    at: datetime
    altitude: float
    ev: float | None


class DayOfLight(msgspec.Struct, frozen=True):
    """A day's light: its curve, its best point, and the hours within half a stop of that, as (from, to).

    `best` is None and `hours` empty on a day without light.
    """

    points: tuple[LightPoint, ...]
    best: LightPoint | None
    hours: tuple[tuple[datetime, datetime], ...]

    @property
    def is_even(self) -> bool:
        """Whether its best hours are the whole day, as near a pole."""
        return bool(self.points) and self.hours == ((self.points[0].at, self.points[-1].at),)


def light_stops(altitude: float, receiver: str = "scene", sky: str = "clear") -> float | None:
    """Return the stops that something receives less than flat ground under a clear sky with the sun at 60°.

    None with the sun below 2°. Raises WrongUse for an unknown receiver or sky.
    """
    clear = actinic.stops(altitude, receiver, shade=sky_of(sky).name == "shade")
    return None if clear is None else clear + sky_of(sky).lost


def sky_of(name: str) -> Sky:
    """Return the sky of that name. Raises WrongUse for an unknown one."""
    if name not in SKY:
        near = nearest(name, SKIES)
        hint = f"did you mean '{near}'?" if near else f"there are {', '.join(SKIES)}"
        raise WrongUse(f"no sky is called '{name}' ({hint})")
    return SKY[name]


def expected_ev(
    kind: str | None,
    altitude: float | None = None,
    receiver: str | None = None,
    sky: str | None = None,
    usual_ev: float | None = None,
) -> Light | None:
    """Return how bright a kind of light should be, or None where nothing says so.

    `altitude` is the sun's in degrees, None where the place is not known. `usual_ev` is what is usual of this
    very light; left out, what is usual of its kind.

    Sun and cloud in the open have the table's light for what faces it (`scene` where that is not told), less
    what the sky takes. Shade and windows have their usual light where the sun stands at 40° and follow the
    sky's light from there: in clear weather the table's shade, under cloud all there is, for then all of it
    is the sky's. With the sun below 2° there is no answer for any of them; lamps never ask for the sun.
    Raises WrongUse for an unknown receiver or sky.
    """
    of_kind = light_kind(kind)
    usual = usual_ev if usual_ev is not None or of_kind is None else of_kind.usual_ev
    name = None if of_kind is None else of_kind.name
    if altitude is not None and name in _OUTDOORS:
        return _open_light(altitude, receiver or "scene", sky or _OUTDOORS[name])
    if usual is None:
        return None
    if altitude is not None and name in _SKYLIGHT:
        dimmer = _skylight(altitude, sky or "clear")
        brightest = _skylight(SHADE_ALTITUDE, "clear")
        if dimmer is None or brightest is None:
            return None
        says = f"{_USUAL[name]} with the sun at {SHADE_ALTITUDE:g}°, here at {altitude:.0f}°"
        return Light(usual + brightest - dimmer, "light", EV_DOUBT, says)
    return Light(usual, "light", EV_DOUBT, _USUAL.get(name or "", "usual for this light"))


def ev_doubt(ev_from: str | None, sky: str | None = None, kind: str | None = None) -> float:
    """Return the standard deviation in stops of an EV of that origin: nothing for a meter's reading.

    Where no sky is told, one from the sun is that of the sky which its kind of light stands for.
    """
    if ev_from == "sun":
        usual = _OUTDOORS.get(kind or "", "clear")
        return SKY[sky if sky in SKY else usual].doubt
    return EV_DOUBT if ev_from == "light" else 0.0


def day_of_light(
    kind: str,
    latitude: float,
    longitude: float,
    on: date,
    zone: tzinfo,
    *,
    receiver: str | None = None,
    sky: str | None = None,
    usual_ev: float | None = None,
    within: float = BEST_WITHIN,
) -> DayOfLight:
    """Return the light of a date at a place, every five minutes, and its best hours.

    Raises WrongUse for a place that is none, an unknown receiver or sky, and a year out of range.
    """
    points = []
    for at, altitude in sun.curve(latitude, longitude, on, zone, _STEP):
        light = expected_ev(kind, altitude, receiver, sky, usual_ev)
        points.append(LightPoint(at, altitude, None if light is None else light.ev))
    lit = [(point.ev, point) for point in points if point.ev is not None]
    if not lit:
        return DayOfLight(tuple(points), None, ())
    top, best = max(lit, key=lambda pair: pair[0])
    return DayOfLight(tuple(points), best, tuple(_spells(points, top - within)))


def _open_light(altitude: float, receiver: str, sky: str) -> Light | None:
    lost = light_stops(altitude, receiver, sky)
    if lost is None:
        return None
    says = f"the sun at {altitude:.0f}°, {sky_of(sky).says}"
    return Light(REFERENCE_EV - lost, "sun", sky_of(sky).doubt, says)


def _skylight(altitude: float, sky: str) -> float | None:
    """Return the stops by which the sky's light is below flat ground's at 60°; None with the sun too low."""
    cloudy = sky_of(sky).name.endswith("cloud")
    return light_stops(altitude, "flat", sky if cloudy else "shade")


def _spells(points: Sequence[LightPoint], least: float) -> Iterator[tuple[datetime, datetime]]:
    """Yield (from, to) of each stretch of a day whose light is at least `least`, to the minute."""
    start = None
    for before, point in zip([None, *points], points, strict=False):
        good = point.ev is not None and point.ev >= least
        if good and start is None:
            start = _met(before, point, least)
        elif not good and start is not None and before is not None:
            yield start, _met(point, before, least)
            start = None
    if start is not None:
        yield start, points[-1].at


def _met(outside: LightPoint | None, inside: LightPoint, least: float) -> datetime:
    """Return when the light between two points is `least`, to the minute, on the line between them."""
    if outside is None or outside.ev is None or inside.ev is None or outside.ev == inside.ev:
        return inside.at
    share = (inside.ev - least) / (inside.ev - outside.ev)
    start, end = inside.at.astimezone(UTC), outside.at.astimezone(UTC)  # clocks may change between them
    minutes = round(share * ((end - start) / timedelta(minutes=1)))
    return (start + timedelta(minutes=minutes)).astimezone(inside.at.tzinfo)
