"""Two plates side by side: only what differs, the biggest difference first.

How big a difference is: times by their ratio (twice as long is 1), temperatures by 10 °C (about twice the
time), humidity by 50 %, f-numbers by stops, the sun by 20°, stars by 2, stops as they are, words 1/2, a value
that the other plate lacks 1. These weights order a list; common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import msgspec

from darkroom.log.plate import bottle_text
from darkroom.log.plate.columns import PLATE, Value
from darkroom.log.plate.exposure_columns import DERIVED, PROPOSAL
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.stage_text import ended
from darkroom.process.uses import role_text

TEXT_WEIGHT, MISSING_WEIGHT, ORIGIN_WEIGHT = 0.5, 1.0, 0.1
NOISE = 0.005
"""Differences of a smaller weight are left out, such as a thousandth of a second."""

_UNIT_OF_WEIGHT: dict[str | None, float] = {"°C": 10.0, "%": 50.0, "stops": 1.0, "EV": 1.0, "°": 20.0}
"""The difference of each unit that weighs 1; for any other unit it is 2."""

_NOT_COMPARED = (
    frozenset(
        {
            "plate",
            "number",
            "begun",
            "ended",
            "rehearsal",
            "file",
            "problems",
            "faults",
            "fault_causes",
            "nothing_else",
            "bottles",
            "bottle_ids",
            "notes",
            "details",
        }
    )
    | PROPOSAL
    | DERIVED
)
"""Columns in which any two plates differ, that follow from others, or that are compared value by value."""


class Difference(msgspec.Struct, frozen=True):
    """One thing in which two plates differ; `unit` is that of both values, `weight` how big it is."""

    what: str
    first: Value
    second: Value
    unit: str | None
    weight: float


def differences(first: PlateRecord, second: PlateRecord) -> list[Difference]:
    """Return what differs, biggest first; two values that read alike are no difference."""
    differing = [
        difference
        for difference in (*_plate(first, second), *_stages(first, second), *_details(first, second))
        if difference.weight > NOISE
        and shown(difference.first, difference.unit) != shown(difference.second, difference.unit)
    ]
    return sorted(differing, key=lambda difference: -difference.weight)


def _plate(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    for heading, key, value in PLATE:
        in_seconds = _in_seconds(first) and _in_seconds(second)
        if key in _NOT_COMPARED or key == ("exposure_planned" if in_seconds else "exposure_planned_s"):
            continue
        what, unit = _name_and_unit(heading)
        yield _difference(what, value(first), value(second), unit, key)
    yield from _bottles(first, second)
    yield from _faults(first, second)
    yield _difference("notes", "\n".join(first.judged.notes) or None, "\n".join(second.judged.notes) or None)


def _bottles(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    """Yield each role in which the plates had different bottles: by name, by id where the name is one."""
    names = (bottle_text.names(first), bottle_text.names(second))
    ids = (bottle_text.ids(first), bottle_text.ids(second))
    for role in dict.fromkeys((*names[0], *names[1])):
        what = f"{role_text(role)} bottle"
        one, other = names[0].get(role), names[1].get(role)
        if one == other:  # two bottles may have one name
            if role not in ids[0] or role not in ids[1]:
                continue
            one, other = ids[0][role], ids[1][role]
        yield _difference(what, one, other)


def _faults(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    """Yield each fault that only one of the plates has, and the cause of one that is not the same on both."""
    on_first, on_second = (
        {(fault.name, fault.where): fault for fault in record.judged.faults} for record in (first, second)
    )
    for key in dict.fromkeys((*on_first, *on_second)):
        one, other = on_first.get(key), on_second.get(key)
        if one is not None and other is not None:
            yield _difference(f"cause of {one.text}", one.cause, other.cause)
        else:
            yield _difference("fault", one.text if one else None, other.text if other else None)


def _in_seconds(record: PlateRecord) -> bool:
    """Whether the planned exposure is one time: its seconds say everything then."""
    return (
        record.state is not None and record.state.plan is not None and record.state.plan.seconds is not None
    )


def _name_and_unit(heading: str) -> tuple[str, str | None]:
    what, sign, unit = heading.partition(" (")
    return what, unit.rstrip(")") if sign else None


def _difference(what: str, first: Value, second: Value, unit: str | None = None, key: str = "") -> Difference:
    return Difference(what, first, second, unit, _weight(first, second, unit, key))


def _weight(first: Value, second: Value, unit: str | None, key: str) -> float:
    if first == second:
        return 0.0
    if first is None or second is None:
        return MISSING_WEIGHT
    if isinstance(first, (bool, str)) or isinstance(second, (bool, str)):
        return ORIGIN_WEIGHT if key.endswith("_from") else TEXT_WEIGHT
    if unit == "s":
        return _ratio(first, second)
    if key == "f_number":
        return 2 * _ratio(first, second)
    return abs(first - second) / _UNIT_OF_WEIGHT.get(unit, 2.0)


def _ratio(first: float, second: float) -> float:
    """Return how many times one is doubled to reach the other; times under 0.1 s count as 0.1 s."""
    if abs(first - second) < 0.05:
        return 0.0
    return abs(math.log2(max(first, 0.1) / max(second, 0.1)))


def _stages(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    """Yield what differs in each stage, but for what is listed with the plate or with an earlier stage."""
    exposures = {record.exposure_stage.stage for record in (first, second) if record.exposure_stage}
    given = (first.exposed, second.exposed)
    temperatures = {key: (value(first), value(second)) for _, key, value in PLATE if key.endswith("_celsius")}
    for difference in _every_stage(first, second):
        name, _, what = difference.what.partition(": ")
        values = (difference.first, difference.second)
        if name in exposures and (what == "planned" or (what == "took" and values == given)):
            continue
        if difference.unit == "°C":
            if temperatures.get(f"{what}_celsius") == values:
                continue
            temperatures[f"{what}_celsius"] = values
        yield difference


def _every_stage(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    first_stages = {stage.stage: stage for stage in first.account.stages}
    second_stages = {stage.stage: stage for stage in second.account.stages}
    for name in dict.fromkeys((*first_stages, *second_stages)):
        first_stage, second_stage = first_stages.get(name), second_stages.get(name)
        if first_stage is None or second_stage is None:
            yield _difference(
                f"{name}: took",
                first_stage.seconds if first_stage else None,
                second_stage.seconds if second_stage else None,
                "s",
            )
            continue
        if "skipped" not in (first_stage.how, second_stage.how):
            yield _difference(f"{name}: took", first_stage.seconds, second_stage.seconds, "s")
        yield _difference(f"{name}: planned", first_stage.planned, second_stage.planned, "s")
        yield _difference(f"{name}: cleared after", first_stage.cleared, second_stage.cleared, "s")
        yield _difference(f"{name}: ended", ended(first_stage), ended(second_stage))
        yield _difference(
            f"{name}: {first_stage.source or second_stage.source}",
            first_stage.celsius,
            second_stage.celsius,
            "°C",
        )


def _details(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    keys = dict.fromkeys(
        key.strip().casefold() for record in (first, second) for key, _ in record.judged.details
    )
    for key in keys:
        yield _difference(key, first.judged.detail(key), second.judged.detail(key))


def shown(value: Value, unit: str | None) -> str:
    """Return a value of a difference in words, with its unit; "-" for one that is not there."""
    from darkroom.process.text.durations import say_duration
    from darkroom.process.text.temperatures import show_celsius

    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        if unit == "s":
            return say_duration(value)
        if unit == "°C":
            return show_celsius(value)
        if unit == "stops":
            return f"{value:+g} {'stop' if abs(value) == 1 else 'stops'}"
        return f"{value:g} {unit or ''}".rstrip()
    return value.replace("\n", "; ")
