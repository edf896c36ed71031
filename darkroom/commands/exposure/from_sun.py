"""`darkroom exposure from-sun`: from where the sun stands to the light, the best hours and a time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING, NamedTuple

import click

from darkroom.commands.exposure.options import json_option, number, speed, value_of
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import WrongUse
from darkroom.process.scene import RECEIVERS, SKIES

if TYPE_CHECKING:
    from darkroom.exposure.daylight import Light
    from darkroom.exposure.sun import Position, SunDay

_COMPASS = (
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
)  # fmt: skip
_FACES = {
    "scene": "the whole scene",
    "flat": "flat ground",
    "facing": "something upright that faces the sun",
    "away": "something upright, turned away from the sun",
}


class Where(NamedTuple):
    """A place on earth: what it is called, its degrees, its time zone where that is known."""

    name: str
    latitude: float
    longitude: float
    zone: tzinfo | None


@click.command(
    help="Say where the sun stands, how bright its light is for a collodion plate, and when it is best.\n\n"
    "The light comes from a model of a clear sky, seen through the published sensitivity of collodion, and "
    "is told in stops less than flat ground has with the sun at 60°: half a stop in doubt under a clear sky, "
    "up to a stop under another (common practice). What faces the light matters as much as the hour. Below "
    "2° nothing is told. The time is that for --speed and --f; left out, "
    "they are those of the judged plates.\n\n"
    "Example: darkroom exposure from-sun --latitude 51.4 --longitude -2.1 --at 2026-06-21T12:00+01:00\n\n"
    f"{NOT_RED}"
)
@click.option("--place", metavar="NAME", help="A place of kit.yaml.")
@click.option("--latitude", metavar="DEGREES", help="Or its latitude, north positive,")
@click.option("--longitude", metavar="DEGREES", help="and longitude, east positive.")
@click.option("--at", "at_text", metavar="TIME", help="When, as 2026-06-21T12:00+01:00; now, if left out.")
@click.option(
    "--receiver",
    type=click.Choice(RECEIVERS),
    default="scene",
    show_default=True,
    help="What faces the light.",
)
@click.option("--sky", type=click.Choice(SKIES), default="clear", show_default=True, help="The sky.")
@click.option("--speed", "speed_text", metavar="ISO", help="The plate's own speed in daylight.")
@click.option("--f", "f_text", metavar="STOP", help="The f-number, as 5.6, or a stop of the lens.")
@json_option
def from_sun(
    place: str | None,
    latitude: str | None,
    longitude: str | None,
    at_text: str | None,
    receiver: str,
    sky: str,
    speed_text: str | None,
    f_text: str | None,
    as_json: bool,
) -> None:
    """Print the sun's light."""
    from darkroom.commands.exposure.sun_time import sun_time
    from darkroom.exposure import daylight, sun
    from darkroom.process.text.instants import instant

    plate_speed = None if speed_text is None else value_of("--speed", speed_text, speed)
    f_number = None if f_text is None else _f_number(f_text)
    at = None if at_text is None else value_of("--at", at_text, instant)
    where = _where(place, latitude, longitude)
    at = _in_zone(at, where.zone)
    position = sun.position(where.latitude, where.longitude, at)
    day = sun.day_at(where.latitude, where.longitude, at)
    light = daylight.expected_ev("sun", position.altitude, receiver, sky)
    time = None if light is None else sun_time(at, light.ev, sky, place, plate_speed, f_number)
    if as_json:
        print_json(
            {
                "altitude": position.altitude,
                "azimuth": position.azimuth,
                "receiver": receiver,
                "sky": sky,
                "stops": daylight.light_stops(position.altitude, receiver, sky),
                "seconds": None if time is None else time.seconds,
                "rise": None if day.rise is None else day.rise.isoformat(),
                "set": None if day.set is None else day.set.isoformat(),
            }
        )
        return
    for line in _sun_lines(where, at, position, day):
        click.echo(line)
    for line in _light_lines(where, at, light, receiver, sky):
        click.echo(line)
    if time is not None:
        click.echo(f"  time        {time.says}")
    elif light is not None:
        click.echo("No judged plate tells a time: give --speed and --f.", err=True)


def _where(place: str | None, latitude: str | None, longitude: str | None) -> Where:
    """Return the place that the options name. Raises WrongUse."""
    if place is not None and (latitude is not None or longitude is not None):
        raise WrongUse("where is it? --place NAME, or --latitude and --longitude, not both")
    if place is not None:
        return _kit_place(place)
    if latitude is None or longitude is None:
        missing = (
            "--place NAME, or --latitude and --longitude"
            if latitude is longitude
            else ("--longitude too" if longitude is None else "--latitude too")
        )
        raise WrongUse(f"where is it? {missing} is needed")
    degrees = (
        value_of("--latitude", latitude, number(-90, 90, "degrees of latitude")),
        value_of("--longitude", longitude, number(-180, 180, "degrees of longitude")),
    )
    return Where(f"latitude {degrees[0]:g}, longitude {degrees[1]:g}", *degrees, None)


def _f_number(text: str) -> float:
    """Return an f-number, or that of the stop of this name which the lens of the latest plate has."""
    from darkroom.commands.exposure.typed_names import f_number_of
    from darkroom.commands.exposure.wanted_plate import latest_conditions
    from darkroom.log.store.paths import home
    from darkroom.settings.kit import load_right, path_in

    latest = latest_conditions(home())
    lens = None if latest is None else latest.lens
    return f_number_of("--f", text, load_right(path_in(home()))[0], lens)


def _in_zone(at: datetime | None, zone: tzinfo | None) -> datetime:
    """Return the instant (now, if there is none) in the place's zone, else in its own or this machine's."""
    if at is None:
        return datetime.now(UTC).astimezone(zone)
    return at if zone is None else at.astimezone(zone)


def _sun_lines(where: Where, at: datetime, position: Position, day: SunDay) -> Iterator[str]:
    """Yield where the sun stands, and its day."""
    from darkroom.exposure import sun

    yield f"{where.name}, {at:%Y-%m-%d %H:%M} {_offset(at)}"
    direction = ""
    if position.azimuth is not None:
        word = _COMPASS[round(position.azimuth / 22.5) % 16]
        direction = f", in {word} (azimuth {position.azimuth:.1f}°)"
    yield f"  sun         {position.altitude:.1f}° high{direction}"
    highest = f"highest at {day.highest:%H:%M} ({day.altitude:.1f}°)"
    if not sun.has_noon(where.latitude):
        highest = f"no noon at the pole: about {day.altitude:.1f}° all day"
    if day.rise is None and day.set is None:
        yield f"  day         it does not {'set' if day.sun else 'rise'}; {highest}"
        return
    rises = "up since the day before" if day.rise is None else f"rises {day.rise:%H:%M}"
    sets = "does not set" if day.set is None else f"sets {day.set:%H:%M}"
    yield f"  day         {rises}, {highest}, {sets}"


def _light_lines(where: Where, at: datetime, light: Light | None, receiver: str, sky: str) -> Iterator[str]:
    """Yield how bright it is, and when it is brightest that day."""
    from darkroom.exposure import actinic, daylight, sun

    yield f"  faces it    {_FACES[receiver]}"
    yield f"  sky         {daylight.sky_of(sky).says}"
    if light is None:
        yield f"  light       not told: the sun is below {actinic.LEAST_ALTITUDE:g}°, where the table ends"
    else:
        yield f"  light       EV {light.ev:.1f} for the plate, {light.doubt:g} stop in doubt"
        stops = _stops(daylight.REFERENCE_EV - light.ev)
        yield f"              {stops} than flat ground has with the sun at 60°"
    on, zone = sun.date_at(where.longitude, at)
    hours = daylight.day_of_light(
        "sun", where.latitude, where.longitude, on, zone, receiver=receiver, sky=sky
    )
    if hours.best is None:
        return
    told = [(start.astimezone(at.tzinfo), end.astimezone(at.tzinfo)) for start, end in hours.hours]
    spells = " and ".join(f"{start:%H:%M} to {end:%H:%M}" for start, end in told)
    if hours.is_even:
        spells = "the whole day"
    yield f"  best hours  {spells}, within half a stop of EV {hours.best.ev:.1f}"


def _stops(less: float) -> str:
    amount = f"{abs(less):.2f}"
    return f"{amount} stops {'less' if less >= 0 else 'more'}"


def _offset(at: datetime) -> str:
    """Return the zone's offset: "+01:00"."""
    return at.isoformat(timespec="minutes")[16:]


def _kit_place(name: str) -> Where:
    """Return a place of kit.yaml. Raises WrongUse where it is missing, SettingsError in a wrong kit."""
    from darkroom.commands.exposure.kit_places import kit_place
    from darkroom.log.store.paths import home
    from darkroom.settings.kit import load_right, path_in
    from darkroom.settings.time_zones import time_zone

    path = path_in(home())
    kit, problems = load_right(path)
    place = kit_place(kit, problems, path, name)
    return Where(place.name, place.latitude, place.longitude, time_zone(place.zone))
