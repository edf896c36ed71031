"""What the form of a plate says of its light and lens, with the photographer's kit: from texts to a scene."""

from __future__ import annotations

import math
from datetime import datetime

from darkroom.errors import DarkroomError, QuantityError
from darkroom.exposure import factors, meter, sun
from darkroom.exposure.conditions import conditions
from darkroom.exposure.judged import Conditions
from darkroom.exposure.kit import Kit, Lens
from darkroom.exposure.light_told import light_told
from darkroom.process.scene import Scene
from darkroom.process.text import lens_words, light_words
from darkroom.session.plate_form import PlateForm, millimetres


def scene_of(form: PlateForm, kit: Kit, at: datetime | None = None) -> Scene | None:
    """Return what the form says of light and lens, None where it says nothing.

    A light without a reading has what is usual of it; one that has a name of its own, and of which the kit
    tells no EV, has none: what it gives is learned from its plates. With a place of the kit, daylight is
    reckoned for where the sun stands at `at` (with its zone). Raises QuantityError for a text that cannot be
    read; see `mistakes`.
    """
    place = kit.place(form.place)
    altitude = None
    if place is not None and at is not None:
        altitude = sun.position(place.latitude, place.longitude, at).altitude
    ev, origin = _brightness(form, kit, altitude)
    scene = Scene(
        light=form.light.strip() or None,
        kind=kind_of(form, kit),
        ev=None if ev is None else round(ev, 2),
        ev_from=origin,
        f_number=f_number(form, kit),
        bellows=_bellows(form, kit),
        filter=_stops(form.filter),
        other=_stops(form.other),
        place=form.place.strip() or None,
        sun_altitude=None if altitude is None else round(altitude, 1),
        receiver=form.receiver.strip() or None,
        sky=form.sky.strip() or None,
    )
    return None if scene == Scene() else scene


def mistakes(form: PlateForm, kit: Kit) -> dict[str, str]:
    """Return {field: what is wrong} for texts that are readable one by one and cannot be together."""
    wrong: dict[str, str] = {}
    for field, read in (("aperture", f_number), ("draw", _bellows)):
        try:
            read(form, kit)
        except QuantityError as error:
            wrong[field] = str(error)
    if wrong:
        return wrong
    camera = kit.camera(form.camera)
    too_long = None if camera is None or not form.draw.strip() else camera.cannot_draw(millimetres(form.draw))
    return {} if too_long is None else {"draw": too_long}


def conditions_of(
    form: PlateForm,
    process: str,
    scene: Scene | None,
    day: str,
    developer: float | None,
    made: str | None = None,
) -> Conditions:
    """Return what the exposure of the form's plate depends on; `developer` is its reading in °C.

    `made` is the date on which its collodion was made, where the book of bottles tells it.
    """
    return conditions(
        process,
        day,
        scene,
        lens=form.lens.strip() or None,
        aperture=form.aperture.strip() or None,
        light=form.light.strip() or None,
        batch=form.collodion.strip() or None,
        developer=developer,
        made=made,
    )


def kind_of(form: PlateForm, kit: Kit) -> str | None:
    """Return the kind of the form's light: that of the kit's light of this name, else what its words name."""
    named = kit.light(form.light)
    return named.kind if named is not None else light_words.light_kind(form.light)


def f_number(form: PlateForm, kit: Kit) -> float | None:
    """Return the f-number that the kit's lens has at the stop of this name, else what the aperture says.

    A bare number is an f-number; free words are searched for one. Raises QuantityError for a number that is
    none.
    """
    lens = kit.lens(form.lens)
    number = None if lens is None else factors.f_number_at(lens, form.aperture)
    if number is not None:
        return round(number, 2)
    if lens_words.is_number(form.aperture):
        return lens_words.aperture(form.aperture)
    said = lens_words.f_number(form.aperture)
    return None if said is None else float(said)


def focal_length(form: PlateForm, kit: Kit) -> float | None:
    """Return the focal length in mm of the kit's lens of this name, else what the lens's words say."""
    lens: Lens | None = kit.lens(form.lens)
    if lens is not None and lens.focal is not None:
        return lens.focal
    said = lens_words.focal_length(form.lens)
    return None if said is None else float(said)


def _brightness(form: PlateForm, kit: Kit, altitude: float | None) -> tuple[float | None, str | None]:
    """Return (EV at ISO 100, where it is from)."""
    if form.ev.strip():
        value, unit = light_words.reading(form.ev)
        if unit == "ev":
            return value, "meter"
        of_unit = meter.ev_of_lux if unit == "lux" else meter.ev_of_foot_candles
        return of_unit(value), "lux"
    try:
        told = light_told(
            kit,
            form.light,
            altitude=altitude,
            receiver=form.receiver.strip() or None,
            sky=form.sky.strip() or None,
        )
    except DarkroomError:  # a word for sky or receiver that is none
        return None, None
    return told.ev, told.ev_from


def _bellows(form: PlateForm, kit: Kit) -> float | None:
    """Return the stops that the bellows take, None where no draw is typed."""
    if not form.draw.strip():
        return None
    focal = focal_length(form, kit)
    if focal is None:
        raise QuantityError(
            "the focal length of the lens is not known: write it in its name (210 mm) or in kit.yaml"
        )
    return round(math.log2(factors.bellows_factor(focal, millimetres(form.draw))), 3)


def _stops(text: str) -> float | None:
    return light_words.stops_lost(text) if text.strip() else None
