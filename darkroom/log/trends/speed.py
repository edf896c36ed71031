"""The speed of judged plates over the age of their collodion and from day to day.

Where the light's EV is known speeds are in stops above ISO 1 as by daylight: what a kind of light is usually
faster or slower by its colour is taken off. Plates of a named
light without any EV stand in a trend of their own, in stops against their median: the same light, so their
speeds still compare.
"""

from __future__ import annotations

import math
import statistics
from collections import Counter, defaultdict
from collections.abc import Iterable
from datetime import date
from typing import Literal, NamedTuple

import msgspec

from darkroom.exposure import effects
from darkroom.exposure.judged import JudgedPlate
from darkroom.log.trends.least_squares import slope

FEWEST = 5
"""Fewer plates, or fewer days, show no trend."""
AGE_STEP = 30.0
"""Ages are gathered in steps of so many days."""
LEAST_AGES = 10.0
"""Ages within so many days do not show how the collodion slows."""
_Point = tuple[float, float, str]
_Group = tuple[str, str | None]


class SpeedStep(msgspec.Struct, frozen=True):
    """The plates of a day, or of AGE_STEP days of age from `least` on: how many, and their median speed."""

    least: float
    plates: int
    median: float


class OverSpeed(msgspec.Struct, frozen=True, kw_only=True):
    """The speeds of one process. `points` are (days of age or the day's ordinal, speed in stops, plate).

    Without a `light` speeds are log2 of the speed on the ISO scale, with one they are in stops against the
    median of that light's plates. `slope` is stops in 100 days by least squares; over days there is none.
    `open` counts the plates left out since they only said more or less, `unknown` those of unknown age.
    """

    process: str
    by: Literal["age", "day"]
    light: str | None
    points: tuple[_Point, ...]
    steps: tuple[SpeedStep, ...]
    slope: float | None
    open: int
    unknown: int = 0


class Told(NamedTuple):
    """The speed of a plate in stops, its working day, and the age of its collodion in days."""

    plate: str
    day: str
    age: float | None
    speed: float


class Speeds:
    """The speeds that judged plates tell, in stops, by (process, light without an EV or None).

    `open` counts by the same those that only said more or less, `silent` the others by why they tell none.
    """

    def __init__(self, plates: Iterable[JudgedPlate] = ()) -> None:
        self.told: dict[_Group, list[Told]] = defaultdict(list)
        self.open: Counter[_Group] = Counter()
        self.silent: Counter[str] = Counter()
        for plate in plates:
            self.add(plate)

    def add(self, plate: JudgedPlate) -> None:
        """Take a plate."""
        observed = effects.observe(plate)
        if isinstance(observed, str):
            self.silent[observed] += 1
            return
        light = effects.light_name(plate.conditions) if observed.described.light else None
        group = plate.conditions.process, light
        if math.isfinite(observed.low) and math.isfinite(observed.high):
            colour = sum(term.prior.mean for term in observed.described.speed if term.key[0] == "kind")
            speed = (observed.low + observed.high) / 2 - colour
            self.told[group].append(Told(plate.plate, plate.conditions.day, plate.conditions.age, speed))
        else:
            self.open[group] += 1


def speeds_of(judged: Speeds | Iterable[JudgedPlate]) -> Speeds:
    """Return the speeds of judged plates, which may be told already."""
    return judged if isinstance(judged, Speeds) else Speeds(judged)


def over_speed(judged: Speeds | Iterable[JudgedPlate]) -> tuple[OverSpeed, ...]:
    """Return the trends of the plates' speeds, those of the most plates first."""
    speeds = speeds_of(judged)
    found: list[OverSpeed] = []
    for group, members in speeds.told.items():
        if len(members) >= FEWEST:
            zero = 0.0 if group[1] is None else statistics.median(told.speed for told in members)
            found += _trends(
                group, [told._replace(speed=told.speed - zero) for told in members], speeds.open[group]
            )
    return tuple(
        sorted(found, key=lambda trend: (-len(trend.points), trend.process, trend.light or "", trend.by))
    )


def _trends(group: _Group, members: list[Told], open_ended: int) -> Iterable[OverSpeed]:
    process, light = group
    ages = [(told.age, told.speed, told.plate) for told in members if told.age is not None]
    if len(ages) >= FEWEST and max(ages)[0] - min(ages)[0] >= LEAST_AGES:
        in_100_days = 100 * slope([age for age, _, _ in ages], [y for _, y, _ in ages])
        yield OverSpeed(
            process=process,
            by="age",
            light=light,
            points=tuple(ages),
            steps=_steps([(AGE_STEP * (age // AGE_STEP), speed) for age, speed, _ in ages]),
            slope=in_100_days,
            open=open_ended,
            unknown=len(members) - len(ages),
        )
    days = [
        (float(day), told.speed, told.plate) for told in members if (day := _ordinal(told.day)) is not None
    ]
    if len({day for day, _, _ in days}) >= FEWEST:
        yield OverSpeed(
            process=process,
            by="day",
            light=light,
            points=tuple(days),
            steps=_steps([(day, speed) for day, speed, _ in days]),
            slope=None,
            open=open_ended,
        )


def _steps(values: list[tuple[float, float]]) -> tuple[SpeedStep, ...]:
    by_step: dict[float, list[float]] = defaultdict(list)
    for step, speed in values:
        by_step[step].append(speed)
    return tuple(
        SpeedStep(step, len(by_step[step]), statistics.median(by_step[step])) for step in sorted(by_step)
    )


def _ordinal(day: str) -> int | None:
    try:
        return date.fromisoformat(day).toordinal()
    except ValueError:
        return None
