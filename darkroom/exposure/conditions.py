"""What a plate's exposure depended on, from what is said of the plate: its scene and its words. Pure."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from darkroom.exposure.judged import Conditions
from darkroom.late_patterns import late_pattern
from darkroom.process.scene import LIGHT_KINDS, Scene
from darkroom.process.text.lens_words import f_number
from darkroom.process.text.light_words import light_kind

_ISO_DATE = late_pattern(r"(?<!\d)\d{4}-\d{2}-\d{2}(?!\d)")


def conditions(
    process: str,
    day: str,
    scene: Scene | None,
    *,
    lens: str | None,
    aperture: str | None,
    light: str | None,
    batch: str | None,
    developer: float | None,
    made: str | None = None,
) -> Conditions:
    """Return the conditions of a plate; `day` is its working day, `developer` its temperature in °C as read.

    `made` is the date on which the collodion was made, "2026-05-02", by the book of bottles; it wins over
    one in the name of its batch.

    A scene wins over the words for light and aperture. Without one the f-number and the kind of light are
    those that the words name.
    """
    known = scene or Scene()
    light = known.light or light
    number = known.f_number
    if number is None and (words := f_number(aperture)) is not None:
        number = float(words)
    return Conditions(
        process=process,
        day=day,
        lens=lens,
        light=light,
        kind=known.kind if known.kind in LIGHT_KINDS else light_kind(light),
        ev=known.ev,
        ev_from=known.ev_from,
        f_number=number,
        lost=known.lost,
        batch=batch,
        age=age_of(f"{made or ''} {batch or ''}", day),
        developer=developer,
        place=known.place,
        sky=known.sky,
    )


@lru_cache(maxsize=256)
def age_of(batch: str | None, day: str) -> float | None:
    """Return the days from the date in a batch's name ("C-4 2026-05-02": when it was made) to a day.

    None for a name without a date, and for a date after that day.
    """
    for text in _ISO_DATE.findall(batch or ""):
        try:
            days = (date.fromisoformat(day) - date.fromisoformat(text)).days
        except ValueError:
            continue
        return float(days) if days >= 0 else None
    return None
