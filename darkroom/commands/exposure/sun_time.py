"""The time for an EV that is from the sun: for a speed and an f-number, or by the judged plates so far."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

import click
from msgspec.structs import replace

from darkroom.exposure.judged import Conditions


class SunTime(NamedTuple):
    """How long to open the lens, and the same in words."""

    seconds: float
    says: str


def sun_time(
    at: datetime, ev: float, sky: str, place: str | None, plate_speed: float | None, f_number: float | None
) -> SunTime | None:
    """Return the time at an instant for an EV from the sun at ISO 100; None where nothing says it.

    An f-number that is not given is that of the latest plate, a speed is learned from all judged plates for
    one as that was; `place` is the name of a place of the kit.
    """
    if plate_speed is not None and f_number is not None:
        return _for_speed(ev, plate_speed, f_number)
    from darkroom.commands.exposure.wanted_plate import Asked, latest_conditions, wanted_plate
    from darkroom.exposure.kit import Kit
    from darkroom.log.store.paths import home

    latest = latest_conditions(home())
    if latest is None:
        return None
    asked = Asked(light="sun", ev=ev, f_number=f_number)
    wanted = wanted_plate(latest, asked, Kit(), at)
    if wanted.f_number is not None and plate_speed is not None:
        return _for_speed(ev, plate_speed, wanted.f_number)
    return _learned(replace(wanted, ev_from="sun", sky=sky, place=place))


def _learned(wanted: Conditions) -> SunTime | None:
    from darkroom.exposure.learning import learn
    from darkroom.log.catalogue.judged_plates import judged_plates
    from darkroom.log.store.paths import home
    from darkroom.process.text.durations import show_short

    judged = judged_plates(home(), by_hand_too=True)
    for said in filter(None, (judged.trouble, judged.damaged)):
        click.echo(said, err=True)
    learned = learn(judged.plates, wanted, judged.left_out)
    if not learned.plates or learned.seconds is None:
        return None
    low, high = show_short(learned.seconds_low or 0), show_short(learned.seconds_high or 0)
    plates = "1 judged plate" if learned.plates == 1 else f"{learned.plates} judged plates"
    says = f"{show_short(learned.seconds)} at f/{wanted.f_number:g}, between {low} and {high}, by {plates}"
    return SunTime(learned.seconds, says)


def _for_speed(ev: float, plate_speed: float, f_number: float) -> SunTime:
    from darkroom.exposure.meter import metered
    from darkroom.process.text.durations import show_short

    seconds = metered(plate_speed, f_number, ev).seconds
    return SunTime(seconds, f"{show_short(seconds)} for speed {plate_speed:g} at f/{f_number:g}")
