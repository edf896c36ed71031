"""The exposure of a plate that another is planned from: how long it was open, and its scene."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from darkroom.errors import NothingFound
from darkroom.log.plate.judged_exposure import conditions_of
from darkroom.log.plate.record import PlateRecord
from darkroom.process.scene import Scene


class KnownExposure(msgspec.Struct, frozen=True, kw_only=True):
    """How long a plate was exposed in seconds, of a test plate what its best strip got, and its scene.

    `wanted` is by how many stops it was judged to want more, None where that is not known or none.
    """

    title: str
    seconds: float
    scene: Scene
    lens: str | None
    camera: str | None
    wanted: float | None = None


def known_exposure(record: PlateRecord) -> KnownExposure:
    """Return the exposure of a plate by its record. Raises NothingFound with the reason where it tells none.

    A scene wins over the words for light and aperture, as for learning.
    """
    title, stage = record.title, record.exposure_stage
    title = title[:1].lower() + title[1:]
    plan = record.state.plan if record.state is not None else None
    best = record.judged.best_strip
    if stage is None:
        raise NothingFound(f"{title} was not exposed")
    if plan is not None and plan.pops:
        raise NothingFound(f"{title} was exposed by flashes: how long it was open says nothing of the light")
    seconds = record.exposed
    if plan is not None and plan.steps:
        if not stage.strips:
            raise NothingFound(f"{title} is a test plate of which not every strip was exposed")
        if best is None or not 1 <= best <= len(stage.strips):
            raise NothingFound(
                f"{title} is a test plate: say its best strip first, "
                f"darkroom log rate {record.log.start.number if record.log.start else 'PLATE'} --best-strip 3"
            )
        seconds = stage.strips[best - 1]
    if not seconds or seconds <= 0:
        raise NothingFound(f"how long {title} was exposed is not known")
    known = conditions_of(record)
    scene = replace(record.scene or Scene(), light=known.light, kind=known.kind, f_number=known.f_number)
    return KnownExposure(
        title=title,
        seconds=seconds,
        scene=scene,
        lens=known.lens,
        camera=record.log.start.camera if record.log.start else None,
        wanted=record.judged.next_stops or None,
    )
