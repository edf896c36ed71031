"""The exposure of a plate that another is planned from: its time, its scene, how it was judged."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from darkroom.bench.next_plate import stops_text
from darkroom.errors import NothingFound
from darkroom.exposure import factors
from darkroom.exposure.factors import Factor, Planned
from darkroom.exposure.judged import Conditions
from darkroom.log.plate.judged_exposure import conditions_of
from darkroom.log.plate.record import PlateRecord
from darkroom.process.scene import Scene
from darkroom.process.text.durations import show_short


class KnownExposure(msgspec.Struct, frozen=True, kw_only=True):
    """How long a plate was exposed in seconds, of a test plate what its best strip got, and its scene.

    `conditions` are all that it depended on. `wanted` is by how many stops it was judged to want more, of a
    test plate than its best strip got; None where that is not known or none.
    """

    title: str
    seconds: float
    scene: Scene
    conditions: Conditions
    camera: str | None
    wanted: float | None = None

    @property
    def judged(self) -> str:
        """How it was judged, in words: "judged: half a stop more"; "" where it was not, or was right."""
        return "" if self.wanted is None else f"judged: {stops_text(self.wanted)}"


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
        conditions=known,
        camera=record.log.start.camera if record.log.start else None,
        wanted=record.judged.next_stops or None,
    )


def planned_from(
    known: KnownExposure, wanted: Scene, *, age: float | None = None, stops: float | None = None
) -> Planned:
    """Return the time that a scene wants, from a known plate, with every factor.

    How the plate was judged is one of them: a time that was judged wrong is none to take. `stops` that are
    typed stand in its place, 0 for the plate's own time, and `assumed` says so. `age` is that of the
    collodion in days. Raises QuantityError as `factors.planned` does.
    """
    others, assumed = [], []
    if stops is not None:
        others += [factors.more_stops(stops)] if stops else []
        if known.wanted is not None:
            own = "its own time" if not stops else f"{stops_text(stops)} than its own time"
            assumed.append(f"{known.title} was {known.judged}; what is typed stands in place of that: {own}")
    elif known.wanted is not None:
        others.append(Factor(what="judged", how=stops_text(known.wanted), stops=known.wanted))
    before = known.conditions.age
    if before is not None and age is not None and before != age:
        others.append(factors.ageing(before, age))
    planned = factors.planned(known.seconds, known.scene, wanted, others)
    return replace(planned, assumed=(*assumed, *planned.assumed))


def begins(known: KnownExposure) -> str:
    """Return what a time is reckoned from: "from plate 12: 8 s, f/5.6, north window, EV 9.5"."""
    scene = known.scene
    lost = f"{scene.lost:.2g}"
    parts = [
        show_short(known.seconds),
        None if scene.f_number is None else f"f/{scene.f_number:.3g}",
        scene.light,
        None if scene.ev is None else f"EV {scene.ev:.3g}",
        f"{lost} stop{'' if lost == '1' else 's'} of light lost" if scene.lost else None,
    ]
    return f"from {known.title}: {', '.join(filter(None, parts))}"
