"""Two plates side by side: only what differs, the biggest difference first.

How big a difference is: times by their ratio (twice as long is 1), temperatures by 10 °C (about twice the
time), humidity by 50 %, stars by 2, stops as they are, words 1/2, a value that the other plate lacks 1.
These weights order a list; common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import msgspec

from darkroom.log.plate.columns import PLATE, Value
from darkroom.log.plate.record import HOW, PlateRecord

WORDS, LACKING, ORIGIN = 0.5, 1.0, 0.1
NOISE = 0.005
"""Smaller differences are none: a thousandth of a second is not seen by a hand."""

_PART: dict[str | None, float] = {"°C": 10.0, "%": 50.0, "stops": 1.0}
"""So much of a unit weighs 1; of anything else 2."""

_APART = frozenset(
    {"plate", "number", "begun", "ended", "rehearsal", "file", "problems", "faults", "notes", "details"}
)
"""Columns in which two plates differ by nature, or that are told one by one."""


class Difference(msgspec.Struct, frozen=True):
    """One thing in which two plates differ; `unit` is that of both values, `weight` how big it is."""

    what: str
    first: Value
    second: Value
    unit: str | None
    weight: float


def differences(first: PlateRecord, second: PlateRecord) -> list[Difference]:
    """Return what differs, biggest first."""
    found = [
        one
        for one in (*_plate(first, second), *_stages(first, second), *_details(first, second))
        if one.weight > NOISE
    ]
    return sorted(found, key=lambda one: -one.weight)


def _plate(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    for heading, key, value in PLATE:
        if key in _APART or (key == "exposure_planned" and _in_seconds(first) and _in_seconds(second)):
            continue
        what, unit = _split(heading)
        yield _one(what, value(first), value(second), unit, key)
    yield from _faults(first, second)
    yield _one("notes", "\n".join(first.judged.notes) or None, "\n".join(second.judged.notes) or None)


def _faults(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    """Yield each fault that only one of the plates has."""
    for fault in dict.fromkeys((*first.judged.faults, *second.judged.faults)):
        on_first, on_second = fault in first.judged.faults, fault in second.judged.faults
        if on_first is not on_second:
            yield _one("fault", fault.text if on_first else None, fault.text if on_second else None)


def _in_seconds(record: PlateRecord) -> bool:
    """Whether the planned exposure is one time: then its seconds say all that its words say."""
    return (
        record.state is not None and record.state.plan is not None and record.state.plan.seconds is not None
    )


def _split(heading: str) -> tuple[str, str | None]:
    what, sign, unit = heading.partition(" (")
    return what, unit.rstrip(")") if sign else None


def _one(what: str, first: Value, second: Value, unit: str | None = None, key: str = "") -> Difference:
    return Difference(what, first, second, unit, _weight(first, second, unit, key))


def _weight(first: Value, second: Value, unit: str | None, key: str) -> float:
    if first == second:
        return 0.0
    if first is None or second is None:
        return LACKING
    if isinstance(first, (bool, str)) or isinstance(second, (bool, str)):
        return ORIGIN if key.endswith("_from") else WORDS
    if unit == "s":
        return _ratio(first, second)
    return abs(first - second) / _PART.get(unit, 2.0)


def _ratio(first: float, second: float) -> float:
    """Return how many times one is doubled to reach the other; times under 0.1 s count as 0.1 s."""
    if abs(first - second) < 0.05:
        return 0.0
    return abs(math.log2(max(first, 0.1) / max(second, 0.1)))


def _stages(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    ours = {stage.stage: stage for stage in first.account.stages}
    theirs = {stage.stage: stage for stage in second.account.stages}
    for name in dict.fromkeys((*ours, *theirs)):
        one, other = ours.get(name), theirs.get(name)
        if one is None or other is None:
            yield _one(f"{name}: took", one.seconds if one else None, other.seconds if other else None, "s")
            continue
        if "skipped" not in (one.how, other.how):
            yield _one(f"{name}: took", one.seconds, other.seconds, "s")
        yield _one(f"{name}: planned", one.planned, other.planned, "s")
        yield _one(f"{name}: cleared after", one.cleared, other.cleared, "s")
        yield _one(f"{name}: ended", HOW[one.how], HOW[other.how])
        yield _one(f"{name}: {one.source or other.source}", one.celsius, other.celsius, "°C")


def _details(first: PlateRecord, second: PlateRecord) -> Iterator[Difference]:
    keys = dict.fromkeys(
        key.strip().casefold() for record in (first, second) for key, _ in record.judged.details
    )
    for key in keys:
        yield _one(key, first.judged.detail(key), second.judged.detail(key))


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
