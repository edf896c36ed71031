"""The time of an answer with its factors: by the plates, from one plate, by a meter, by the sun."""

from __future__ import annotations

import math

from msgspec.structs import replace

from darkroom.exposure import factors, meter
from darkroom.exposure.assumptions import NO_TIME_BY_FLASH
from darkroom.exposure.factors import Factor
from darkroom.exposure.kit import same_name
from darkroom.exposure.learned import Learned
from darkroom.log.plate.known_exposure import KnownExposure, begins, planned_from
from darkroom.process.scene import Scene
from darkroom.screens.exposure.answer import Answer
from darkroom.session.plate_form import PlateForm


def plan(
    answer: Answer, known: KnownExposure | None, scene: Scene, learned: Learned, age: float | None
) -> None:
    """Give the answer its time with its factors, or say why there is none."""
    question = answer.question
    if question.source == "plate":
        if known is not None:
            answer.counted_from = begins(known)
            answer.planned = planned_from(known, scene, age=age, stops=question.stops)
            answer.judged = known.judged if question.stops is None else ""
            answer.says += answer.planned.assumed
        return
    answer.counted_from = "from 1 s at f/1, EV 0 and ISO 100"
    if question.source in ("meter", "sun"):
        if question.speed is None:
            answer.says.append("No speed is typed: it is what your plates say.")
        if scene.f_number is None:
            answer.says.append("The f-number is not known, so there is no time.")
        if question.source == "meter" and scene.ev_from not in ("meter", "lux"):
            answer.says.append("What does the meter say? Type its EV, lux or foot-candles.")
            return
        if scene.kind == "flash":
            answer.says.append(NO_TIME_BY_FLASH)
            return
        if scene.f_number is not None and scene.ev is not None:
            speed = question.speed or _learned_speed(learned, scene.f_number, scene.ev, scene.lost)
            answer.planned = meter.metered(speed, scene.f_number, scene.ev, _lost(scene))
        return
    answer.says += learned.assumed
    if learned.seconds is None or scene.f_number is None:
        return
    if scene.ev is not None:
        speed = _learned_speed(learned, scene.f_number, scene.ev, scene.lost)
        answer.planned = meter.metered(speed, scene.f_number, scene.ev, _lost(scene))
        return
    stop = Factor(what="stop", how=f"f/{scene.f_number:.4g}", stops=meter.aperture_value(scene.f_number))
    lost = [Factor(what=what, how="light lost", stops=stops) for what, stops in _lost(scene).items()]
    rest = math.log2(learned.seconds) - stop.stops - sum(factor.stops for factor in lost)
    light = Factor(what="light", how=f"{scene.light}, by your plates", stops=rest)
    answer.planned = factors.product(1.0, [stop, light, *lost])
    answer.counted_from = "from 1 s at f/1"


def _learned_speed(learned: Learned, f_number: float, ev: float, lost: float) -> float:
    """Return the speed that the plates' own time means; it holds what they say of the light as well."""
    if learned.seconds is None:
        return learned.speed
    return meter.speed_of(learned.seconds, f_number, ev, lost)


def changed_scene(known: Scene, told: Scene, form: PlateForm) -> Scene:
    """Return the scene of a known plate with what is told otherwise; what is not told is as it was."""
    names = ("f_number", "bellows", "filter", "other")
    changes = {name: value for name in names if (value := getattr(told, name)) is not None}
    wanted = replace(known, **changes)
    if _is_its_light(form, known, told):
        return wanted
    return replace(wanted, light=told.light, kind=told.kind, ev=told.ev, ev_from=told.ev_from)


def _is_its_light(form: PlateForm, known: Scene, scene: Scene) -> bool:
    """Return whether the light is taken as it was on the known plate.

    So it is where no other light and no reading is told; daylight that was reckoned is reckoned for now.
    """
    reckoned = known.ev_from in ("sun", "light") and scene.sun_altitude is not None and scene.ev is not None
    other = bool(form.light.strip()) and not same_name(form.light, known.light)
    return not (form.ev.strip() or other or reckoned)


def _lost(scene: Scene) -> dict[str, float]:
    lost = {"bellows": scene.bellows, "filter": scene.filter, "other": scene.other}
    return {what: stops for what, stops in lost.items() if stops}
