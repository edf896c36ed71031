"""What a plate's record tells learning: how its exposure was judged, and under which conditions it was made.

What was not seen is not told: an assumed temperature is no temperature, and a plate whose exposure is not
known is left out with the reason.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from darkroom.bench import endings
from darkroom.bench.working_day import working_day
from darkroom.exposure import judgements
from darkroom.exposure.conditions import conditions
from darkroom.exposure.judged import Conditions, JudgedPlate, LeftOut
from darkroom.log.plate.account import StageAccount
from darkroom.log.plate.record import Judged, PlateRecord
from darkroom.process.model import Process
from darkroom.process.same_process import SameProcess
from darkroom.process.text.lens_words import SMALLEST, WIDEST
from darkroom.process.text.light_words import BRIGHTEST, DARKEST

LEAST_DEVELOPED, MOST_DEVELOPED = 0.7, 1.5
"""A plate developed for less or more of its plan than this says nothing of its exposure."""
MOST_STOPS = 10.0
"""A judgement, or light lost, of more stops is a slip."""
OPENED_AGAIN = 1.1
"""A lens open for more times the last strip's total was opened again: nobody knows which strips got it."""
LONGEST = 86400.0
"""An exposure of more seconds is a slip."""
DEVELOPER = "developer"
"""The source of temperature at which the developing stage stands."""
EXPOSURE_CAUSES = frozenset({"over-exposed", "under-exposed"})
"""The causes, by their ids in the files of faults, that the exposure itself is."""
EXPOSURE_FAULTS = frozenset(
    {
        "thin weak image", "harsh image", "flat positive", "insensitive plate",
        "general fog", "fog of a new bath", "fog of over-development", "lack of contrast",
    }
)  # fmt: skip
"""The faults, by their ids, that can come from the exposure: one of them with another cause hides what the
exposure did, where a comet hides nothing. They are those of the shipped files."""
COLLODION = "collodion"
"""The name among the bottles under which the collodion stands."""


def judged_exposure(record: PlateRecord) -> JudgedPlate | LeftOut | None:
    """Return what a plate says of the exposure, or why it says nothing. Raises nothing.

    None for a plate whose exposure nobody judged, for a rehearsal, and for one without a first line. It is
    worked out once for each record.
    """
    kept = record.__dict__
    if _SAID not in kept:
        kept[_SAID] = _said(record)
    said: JudgedPlate | LeftOut | None = kept[_SAID]
    return said


_SAID = "judged exposure"
"""Under this name a record keeps what `judged_exposure` returned."""


def _said(record: PlateRecord) -> JudgedPlate | LeftOut | None:
    start = record.log.start
    if start is None or start.rehearsal or not record.judged.exposure_judged:
        return None
    known = conditions_of(record)
    reason = next(_reasons(record, known), None)
    if reason is not None:
        return LeftOut(plate=record.log.plate, number=start.number, reason=reason)
    given, (low, high) = _judged(record)
    return JudgedPlate(
        plate=record.log.plate,
        number=start.number,
        conditions=known,
        given=given,
        low=low,
        high=high,
    )


def conditions_of(record: PlateRecord) -> Conditions:
    """Return what a plate's exposure depended on, as far as its record tells. Raises nothing."""
    start = record.log.start
    developing = developing_stage(record)
    read = developing is not None and developing.origin not in (None, "assumed")
    return conditions(
        record.process or "",
        _day(record),
        record.scene,
        lens=start.lens if start else None,
        aperture=record.aperture,
        light=start.light if start else None,
        batch=_batch(record),
        developer=developing.celsius if read and developing is not None else None,
    )


def stages_asked(process: Process) -> tuple[str, ...]:
    """Return the stages whose account `judged_exposure` asks for, beside those that were cut short."""
    return _stages_asked(SameProcess(process))


@lru_cache(maxsize=16)
def _stages_asked(same: SameProcess) -> tuple[str, ...]:
    place = endings.exposure_place(same.process)
    names = (None if place is None else same.process.stages[place].name, _developing(same))
    return tuple(name for name in names if name is not None)


@lru_cache(maxsize=16)
def _developing(same: SameProcess) -> str | None:
    """Return the stage at the developer's temperature, without one that which ends the wet time."""
    process = same.process
    names = [stage.name for stage in process.stages if stage.at == DEVELOPER]
    names += [process.wet_window.to] if process.wet_window else []
    return names[0] if names else None


def developing_stage(record: PlateRecord) -> StageAccount | None:
    """Return the account of the developing, once it was done: the stage at the developer's temperature.

    In a process that names no such temperature it is the one that ends the wet time.
    """
    name = _developing(SameProcess(record.state.process)) if record.state else None
    return next((stage for stage in record.account.stages if stage.stage == name), None)


def _reasons(record: PlateRecord, known: Conditions) -> Iterator[str]:
    """Yield each reason why a plate that was judged says nothing of its exposure."""
    ended, account = record.log.ended, record.account
    if record.state is None:
        yield "its stages cannot be told"
    if ended is not None and ended.how == "abandoned":
        yield "abandoned"
    exposure = record.exposure_stage
    if exposure is None:
        yield "not exposed"
        return
    before = account.stages[: account.stages.index(exposure) + 1]
    yield from (f"{stage.stage} was cut short" for stage in before if stage.how == "short")
    if (
        account.wet_used is not None
        and account.wet_about is not None
        and account.wet_used > account.wet_about
    ):
        yield "past wet"
    yield from _of_development(developing_stage(record))
    for fault in record.judged.faults:
        if fault.name in EXPOSURE_FAULTS and fault.cause not in (None, *EXPOSURE_CAUSES):
            yield f"another cause was confirmed, {fault.name}: {fault.cause}"
    yield from _of_exposure(record, exposure)
    yield from _of_scene(known)


def _of_development(stage: StageAccount | None) -> Iterator[str]:
    """Yield what is wrong with the developing: of one by eye the usual range is its plan."""
    if stage is None:
        return
    if stage.how == "skipped":
        yield f"{stage.stage} was left out"
    plan = stage.usual if stage.planned is None else (stage.planned, stage.planned)
    if stage.how == "told" or plan is None or plan[0] <= 0:
        return
    if stage.seconds < LEAST_DEVELOPED * plan[0]:
        yield f"developed for {stage.seconds / plan[0]:.2g} of its plan"
    if stage.seconds > MOST_DEVELOPED * plan[1]:
        yield f"developed for {stage.seconds / plan[1]:.2g} times its plan"


def _of_exposure(record: PlateRecord, exposure: StageAccount) -> Iterator[str]:
    judged, plan = record.judged, record.state.plan if record.state else None
    if record.exposed is None:
        yield "how long the lens was open is not known"
    elif not 0 < record.exposed <= LONGEST:
        yield f"the lens was open for {record.exposed:g} s"
    if plan is not None and plan.pops:
        yield "exposed by flashes: how long the lens was open says nothing of the light"
    if judged.exposure_stops is not None and not abs(judged.exposure_stops) <= MOST_STOPS:
        yield f"judged {judged.exposure_stops:+g} stops"
    if plan is None or not plan.steps:
        if judged.exposure_stops is None and judged.exposure_word is None:
            yield "a best strip, and no strips were exposed"
    elif judged.best_strip is None:
        yield "a test plate without its best strip"
    elif not exposure.strips:
        yield "not every strip was exposed"
    elif (record.exposed or 0.0) > OPENED_AGAIN * exposure.strips[-1]:
        yield "opened again after its strips"
    else:
        try:
            bounds = _of_strip(judged, exposure.strips, judged.best_strip)
        except ValueError as error:
            yield f"its best strip tells nothing: {error}"
        else:
            if not any(map(math.isfinite, bounds)):
                yield "a test plate of a single strip"


def _of_scene(known: Conditions) -> Iterator[str]:
    if known.ev is not None and not DARKEST <= known.ev <= BRIGHTEST:
        yield f"EV {known.ev:g} cannot be"
    if known.f_number is not None and not WIDEST <= known.f_number <= SMALLEST:
        yield f"f/{known.f_number:g} cannot be"
    if not abs(known.lost) <= 2 * MOST_STOPS:
        yield f"{known.lost:g} stops of light lost cannot be"


def _judged(record: PlateRecord) -> tuple[float, judgements.Bounds]:
    """Return the seconds given, and how many stops more the plate wanted, of a plate that is not left out."""
    judged, stage = record.judged, record.exposure_stage
    if stage is not None and stage.strips and judged.best_strip is not None:
        bounds = _of_strip(judged, stage.strips, judged.best_strip)
        return stage.strips[judged.best_strip - 1], bounds
    if judged.exposure_stops is not None:
        return record.exposed or 0.0, judgements.from_stops(judged.exposure_stops)
    return record.exposed or 0.0, judgements.from_word(judged.exposure_word or "right")


def _of_strip(judged: Judged, strips: Sequence[float], best: int) -> judgements.Bounds:
    return judgements.from_strip_and_more(strips, best, judged.exposure_stops, judged.exposure_word)


def _batch(record: PlateRecord) -> str | None:
    """Return the name of the collodion, None where nobody named it."""
    bottles = (record.log.start.bottles if record.log.start else None) or {}
    names = [name.strip() for liquid, name in bottles.items() if liquid.strip().casefold() == COLLODION]
    return next(filter(None, names), None)


def _day(record: PlateRecord) -> str:
    """Return the working day of a plate, "" where it is not known."""
    try:
        return working_day(record.log.start.at) if record.log.start else record.log.local_date
    except (ValueError, OverflowError):
        return record.log.local_date
