"""The plate that an exposure is learned for: as the latest one was, but for what the options say."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import NamedTuple

import msgspec

from darkroom.errors import WrongUse
from darkroom.exposure.judged import Conditions
from darkroom.exposure.kit import Kit, Place

_LOOKED_AT = 20
"""So many of the newest journals are tried for one that can be read."""


class Asked(NamedTuple):
    """What the options say of the plate; None for what they leave to the latest one."""

    process: str | None = None
    lens: str | None = None
    batch: str | None = None
    light: str | None = None
    ev: float | None = None
    f_number: float | None = None
    place: Place | None = None
    sky: str | None = None


def latest_conditions(home: Path) -> Conditions | None:
    """Return the conditions of the newest plate of the log whose first line can be read, None without one."""
    from darkroom.log.journal.find import newest
    from darkroom.log.plate.judged_exposure import conditions_of
    from darkroom.log.plate.record import read_record

    for path in newest(home, _LOOKED_AT):
        record = read_record(path)
        if record.log.start is not None:
            return conditions_of(record)
    return None


def wanted_plate(latest: Conditions | None, asked: Asked, kit: Kit, at: datetime) -> Conditions:
    """Return the conditions of the plate to come at an instant.

    Nothing is lost to bellows or filters; the developer is as warm as for the latest plate of that day.
    Raises WrongUse where the sun is too low to tell its light.
    """
    from darkroom.bench.working_day import working_day
    from darkroom.exposure.conditions import age_of

    day = working_day(at.isoformat())
    before = latest or Conditions(process="", day=day)
    batch = before.batch if asked.batch is None else asked.batch
    wanted = Conditions(
        process=before.process if asked.process is None else asked.process,
        day=day,
        lens=before.lens if asked.lens is None else asked.lens,
        f_number=before.f_number if asked.f_number is None else asked.f_number,
        batch=batch,
        age=age_of(batch, day),
        developer=before.developer if before.day == day else None,
    )
    return _with_light(wanted, before, asked, kit, at)


def _with_light(wanted: Conditions, before: Conditions, asked: Asked, kit: Kit, at: datetime) -> Conditions:
    from darkroom.exposure import sun
    from darkroom.exposure.light_told import OPEN_SKY, light_told

    name = asked.light or before.light
    altitude = None
    if asked.place is not None:
        altitude = sun.position(asked.place.latitude, asked.place.longitude, at).altitude
    told = light_told(kit, name, altitude=altitude, sky=asked.sky)
    if told.kind is None and asked.light is None and before.kind is not None:
        told = light_told(kit, before.kind, altitude=altitude, sky=asked.sky)
    if told.kind is None and altitude is not None:
        name, told = name or "sun", light_told(kit, "sun", altitude=altitude, sky=asked.sky)
    known = msgspec.structs.replace(wanted, light=name, kind=told.kind)
    if asked.ev is not None:
        return msgspec.structs.replace(known, ev=asked.ev, ev_from="meter")
    if asked.place is not None:
        is_too_dark = told.kind in OPEN_SKY or light_told(kit, name).ev is not None
        if told.ev is None and is_too_dark:
            where = f"'{asked.place.name}', the sun at {altitude:.0f}°"
            raise WrongUse(f"nothing tells the light at {where}: give --ev")
        return msgspec.structs.replace(
            known, ev=told.ev, ev_from=told.ev_from, place=asked.place.name, sky=asked.sky
        )
    if asked.light is None and before.ev_from in ("sun", "light") and before.place is not None:
        place = kit.place(before.place)  # where the sun stands now, not where it stood
        if place is not None:
            return _with_light(
                wanted, before, asked._replace(place=place, sky=asked.sky or before.sky), kit, at
            )
    if asked.light is None:
        return msgspec.structs.replace(
            known, ev=before.ev, ev_from=before.ev_from, place=before.place, sky=before.sky
        )
    return msgspec.structs.replace(known, ev=told.ev, ev_from=told.ev_from)
