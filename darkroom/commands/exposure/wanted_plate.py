"""The plate that an exposure is learned for: as the latest one was, but for what the options say."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import NamedTuple

import msgspec

from darkroom.errors import WrongUse
from darkroom.exposure.judged import Conditions, JudgedPlate
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


def wanted_plate(
    latest: Conditions | None, asked: Asked, kit: Kit, at: datetime, judged: tuple[JudgedPlate, ...]
) -> Conditions:
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
    return _with_light(wanted, before, asked, kit, at, judged)


def _with_light(
    wanted: Conditions,
    before: Conditions,
    asked: Asked,
    kit: Kit,
    at: datetime,
    judged: tuple[JudgedPlate, ...],
) -> Conditions:
    from darkroom.exposure.effects import describe
    from darkroom.exposure.light_kinds import light_kind

    named = kit.light(asked.light or before.light)
    kind = named.kind if named else None
    if kind is None:
        kind = _kind(asked.light) if asked.light is not None else before.kind
    light = {"light": asked.light or before.light, "kind": kind}
    if asked.ev is not None:
        return msgspec.structs.replace(wanted, **light, ev=asked.ev, ev_from="meter")
    if asked.place is not None:
        return _by_day(wanted, asked.place, light, asked.sky, named.ev if named else None, at)
    if asked.light is None:
        return msgspec.structs.replace(
            wanted, **light, ev=before.ev, ev_from=before.ev_from, place=before.place, sky=before.sky
        )
    if named is not None and named.ev is not None:
        return msgspec.structs.replace(wanted, **light, ev=named.ev, ev_from="light")
    of_its_own = msgspec.structs.replace(wanted, **light)
    levels = {term.key for term in describe(of_its_own).light}
    learned = any(levels & {term.key for term in describe(plate.conditions).light} for plate in judged)
    usual = light_kind(kind)
    if learned or usual is None or usual.usual_ev is None:
        return of_its_own
    return msgspec.structs.replace(of_its_own, ev=usual.usual_ev, ev_from="light")


def _by_day(
    wanted: Conditions,
    place: Place,
    light: dict[str, str | None],
    sky: str | None,
    usual_ev: float | None,
    at: datetime,
) -> Conditions:
    """Return the conditions with the light that the kind has at a place and an instant."""
    from darkroom.exposure import daylight, sun

    altitude = sun.position(place.latitude, place.longitude, at).altitude
    kind = light["kind"] or "sun"
    found = daylight.expected_ev(kind, altitude, None, sky, usual_ev)
    if found is None:
        raise WrongUse(f"nothing tells the light at '{place.name}', the sun at {altitude:.0f}°: give --ev")
    light = {"light": light["light"] or kind, "kind": kind}
    return msgspec.structs.replace(
        wanted, **light, ev=found.ev, ev_from=found.ev_from, place=place.name, sky=sky
    )


def _kind(light: str) -> str | None:
    from darkroom.process.text.light_words import light_kind

    return light_kind(light)
