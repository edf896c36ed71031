"""From what is asked on the exposure page to its answer. No toolkit, no clock; called in a thread."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import datetime, tzinfo

from msgspec.structs import replace

from darkroom.bench.working_day import working_day
from darkroom.errors import DarkroomError, QuantityError
from darkroom.exposure import daylight, sun
from darkroom.exposure import steps as test_plates
from darkroom.exposure.kit import Kit, Place
from darkroom.exposure.learning import learn
from darkroom.log.catalogue.judged_plates import JudgedPlates
from darkroom.log.plate.known_exposure import KnownExposure, known_exposure
from darkroom.log.plate.record import PlateRecord
from darkroom.process.scene import Scene
from darkroom.process.text.clock_times import clock_time
from darkroom.screens.exposure.answer import Answer, Question
from darkroom.screens.exposure.planning import changed_scene, plan
from darkroom.session.name_remarks import name_remarks
from darkroom.session.plate_form import PlateForm
from darkroom.session.plate_scene import conditions_of, focal_length, kind_of, mistakes, scene_of

FOLLOWS_SUN = ("sun", "cloud", "shade", "window")
"""The kinds of light that have a curve through the day."""
UNKNOWN_WIDTH = 1.5
"""A test plate reaches so many stops to either side where no interval is known."""


def reckon(
    question: Question,
    kit: Kit,
    judged: JudgedPlates,
    record_of: Callable[[str], PlateRecord],
    now: datetime,
    zone_of: Callable[[str], tzinfo],
) -> Answer:
    """Return the answer to a question. Raises nothing of ours: what cannot be known is said in the answer.

    `record_of` finds the record of a plate by its number or id, that of the latest for ""; `zone_of` finds a
    time zone by its name. Both raise DarkroomError. `now` carries the zone of this machine.
    """
    answer = Answer(question=question, at=now)
    answer.says += filter(None, (judged.trouble, judged.damaged))
    place = kit.place(question.form.place)
    remarks = name_remarks(question.form, kit, (each.conditions for each in judged.plates))
    answer.says += [_line(QuantityError(remark)) for remark in remarks.values()]
    try:
        zone = None if place is None else zone_of(place.zone)
        local = now if zone is None else now.astimezone(zone)
        answer.at = clock_time(question.at, local) if question.at else local
        known = known_exposure(record_of(question.plate)) if question.source == "plate" else None
    except DarkroomError as error:
        answer.says.append(_line(error))
        return answer
    form = question.form if known is None else _as_on(known, question.form)
    wrong = mistakes(form if question.size is None else replace(form, draw=""), kit)
    if wrong:
        answer.says[:0] = [_line(QuantityError(text)) for text in wrong.values()]
        return answer
    scene = _scene(question, form, kit, answer)
    if known is not None:
        scene = changed_scene(known.scene, scene or Scene(), question.form)
    answer.process = question.process if known is None else known.conditions.process or question.process
    wanted = conditions_of(
        form, answer.process, scene, working_day(answer.at.isoformat()), question.developer
    )
    aperture = form.aperture.strip()
    if aperture and (scene is None or scene.f_number is None):
        answer.says.append(
            f"'{aperture}' says no f-number: write f/8, or name a stop of the lens in kit.yaml."
        )
    answer.learned = learn(judged.plates, wanted, judged.left_out)
    answer.left_out = answer.learned.left_out
    try:
        plan(answer, known, scene or Scene(), answer.learned, wanted.age)
        if place is not None:
            _day(answer, place, form, kit)
    except DarkroomError as error:
        answer.says.append(_line(error))
    _lay_out_strips(answer)
    return answer


def _line(error: DarkroomError) -> str:
    text = str(error).splitlines()[0]
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", ":", "?")) else ".")


def _as_on(known: KnownExposure, form: PlateForm) -> PlateForm:
    """Return the form where empty fields of the lens mean: as on the known plate."""
    conditions = known.conditions
    return replace(
        form, lens=form.lens or conditions.lens or "", light=form.light or conditions.light or "",
        collodion=form.collodion or conditions.batch or "",
    )  # fmt: skip


def _scene(question: Question, form: PlateForm, kit: Kit, answer: Answer) -> Scene | None:
    """Return the scene of the form at the answer's time, with the size of the picture in place of a draw."""
    if question.size is not None:
        form = replace(form, draw="")
    scene = scene_of(form, kit, answer.at)
    if question.size is not None:
        scene = replace(scene or Scene(), bellows=round(answer.size_lost, 3))
        focal = focal_length(form, kit)
        if focal is not None:
            answer.draw = focal * (1.0 + question.size)
            answer.says.append(f"The bellows are drawn out to {answer.draw:.4g} mm.")
    if question.source == "sun":
        scene = _by_the_sun(scene or Scene(), form, kit, answer)
    return scene


def _by_the_sun(scene: Scene, form: PlateForm, kit: Kit, answer: Answer) -> Scene:
    """Return the scene with the light that the height of the sun gives."""
    kind, named = kind_of(form, kit), kit.light(form.light)
    if kind is None:
        kind = "sun"
        answer.says.append("The light is taken as the sun's.")
    if kind not in FOLLOWS_SUN:
        answer.says.append(f"The sun says nothing of {kind}.")
        return scene
    if scene.sun_altitude is None:
        answer.says.append("Where? Type a place of your kit: its file is kit.yaml.")
        return replace(scene, kind=kind, ev=None, ev_from=None)
    light = daylight.expected_ev(
        kind, scene.sun_altitude, scene.receiver, scene.sky, None if named is None else named.ev
    )
    if light is None:
        answer.says.append(f"The sun stands at {scene.sun_altitude:.0f}°: too low to say how bright it is.")
        return replace(scene, kind=kind, ev=None, ev_from=None)
    answer.says.append(f"{light.says[:1].upper()}{light.says[1:]}: EV {light.ev:.1f}.")
    return replace(scene, kind=kind, ev=round(light.ev, 2), ev_from=light.ev_from)


def _day(answer: Answer, place: Place, form: PlateForm, kit: Kit) -> None:
    """Give the answer the light of the day at a place."""
    kind, named = kind_of(form, kit) or "sun", kit.light(form.light)
    if kind not in FOLLOWS_SUN:
        return
    zone = answer.at.tzinfo
    assert zone is not None
    answer.place, answer.kind = place.name, kind
    answer.light = daylight.day_of_light(
        kind, place.latitude, place.longitude, answer.at.date(), zone,
        receiver=form.receiver or None, sky=form.sky or None,
        usual_ev=None if named is None else named.ev,
    )  # fmt: skip
    if answer.light.best is None:
        highest = sun.day(place.latitude, place.longitude, answer.at.date(), zone)
        answer.says.append(
            f"No light to reckon with that day: the sun comes to {highest.altitude:.0f}° at most."
        )


def _lay_out_strips(answer: Answer) -> None:
    """Give the answer the test plate around its time, as wide as the plates say, or why there is none."""
    middle, learned = answer.seconds, answer.learned
    if middle is None:
        answer.no_strips = "there is no time yet to lay it around."
        return
    below, above = UNKNOWN_WIDTH, UNKNOWN_WIDTH
    if learned is not None:
        times = (learned.seconds_low, learned.seconds, learned.seconds_high)
        if times[0] and times[1] and times[2]:
            below, above = math.log2(times[1] / times[0]), math.log2(times[2] / times[1])
        else:
            below, above = learned.middle - learned.low, learned.high - learned.middle
    try:
        answer.strips = test_plates.proposed(
            middle / 2**below, middle, middle * 2**above, answer.question.strips
        )
    except QuantityError as error:
        answer.no_strips = f"{error}."
