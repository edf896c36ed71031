"""What many plates show: stage times over temperature, clearing times over the plates a fixer had, faults of
drying over wet time, the speed of judged plates over age and day, the share of each fault over time, and
stars over anything.

Assumed temperatures and stages that no strike ended are left out.
"""

from __future__ import annotations

import math
import statistics
from array import array
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import compress, repeat
from operator import floordiv, truediv

import msgspec

from darkroom.faults.catalogue import Catalogue
from darkroom.log.catalogue.trend_plates import MOST
from darkroom.log.trends.drying import OverWetTime, over_wet_time
from darkroom.log.trends.facts import Rows
from darkroom.log.trends.fault_shares import FaultShares, fault_shares
from darkroom.log.trends.fixer_counts import FixerKey, fixer_counts
from darkroom.log.trends.least_squares import slope
from darkroom.log.trends.plate_columns import members
from darkroom.log.trends.points import FixerPoint, FixerPoints, Points
from darkroom.log.trends.speed import OverSpeed, over_speed
from darkroom.log.trends.stage_times import Times
from darkroom.log.trends.stars import Stars, stars_against

BIN = 2.0
"""Temperatures are gathered in steps of so many °C."""
FEWEST = 5
"""Fewer plates do not show how a time changes."""
LEAST_SPREAD = 2.0
"""Temperatures within so many °C do not show it either."""


class TemperatureStep(msgspec.Struct, frozen=True):
    """The plates between `least` and `least` + BIN °C: how many, and medians in seconds."""

    least: float
    plates: int
    seconds: float
    law: float | None


class OverTemperature(msgspec.Struct, frozen=True, kw_only=True):
    """One stage of one process. `points` are (°C, seconds, the process's seconds or None, plate), in columns.

    `ratio` is the geometric mean of what was taken over what the process says. `coefficient` is how many
    times as long 10 °C colder took, by least squares through the logarithm of the time; `law` is the same
    of the process's own times. `assumed` counts the plates left out since nobody read a thermometer.
    The time of a stage that `clears` also depends on how many plates its fixer had.
    """

    process: str
    stage: str
    source: str
    points: Points
    steps: tuple[TemperatureStep, ...]
    ratio: float | None
    coefficient: float | None
    law: float | None
    assumed: int
    clears: bool = False


class OverPlates(msgspec.Struct, frozen=True, kw_only=True):
    """The clearing times in one fixer. `points` are (plates it had, this one counted; seconds; plate).

    `fixer` is its name, `bottle` the id of its bottle where that is known: two bottles of one name are two.

    `slope` is how many seconds longer each plate took, by least squares. `doubled` is the plate count from
    which on every median of three is at least twice that of the first three (a fixer at its end: common
    practice, no source), or None.
    """

    fixer: str | None
    points: Sequence[FixerPoint]
    slope: float | None
    first: float
    last: float
    doubled: int | None
    bottle: str | None = None


class Trends(msgspec.Struct, frozen=True):
    """All trends: those of the most plates first, `stars` the strongest first."""

    over_temperature: tuple[OverTemperature, ...]
    over_plates: tuple[OverPlates, ...]
    over_wet_time: tuple[OverWetTime, ...]
    stars: Stars
    over_speed: tuple[OverSpeed, ...] = ()
    fault_shares: tuple[FaultShares, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether there is no trend at all."""
        return not (
            self.over_temperature
            or self.over_plates
            or self.over_wet_time
            or self.over_speed
            or self.fault_shares
            or self.stars.found
        )


def trends(
    rows: Rows, stage: str | None = None, thing: str | None = None, known: Catalogue | None = None
) -> Trends:
    """Return the trends of the plates asked for; of one `stage`, or of all.

    `known` are the faults of the files; others are called as they were typed.

    With a `thing` only trends of stars against it are returned; a part of its name in any case is enough.
    """
    # what needs the most room goes first, where little is held yet
    wet_times = over_wet_time(rows) if stage is None and thing is None else ()
    stars = stars_against(rows, stage, thing)
    if thing is not None:
        return Trends((), (), (), stars)
    return Trends(
        tuple(_over_temperature(rows, stage)),
        tuple(_over_plates(rows, stage)),
        wet_times,
        stars,
        over_speed(rows.judged) if stage is None else (),
        fault_shares(rows, known) if stage is None else (),
    )


def _over_temperature(rows: Rows, stage: str | None) -> list[OverTemperature]:
    by_stage = [
        _stage((process, name, source), times)
        for (process, name, source), times in rows.stages.times.items()
        if source is not None and stage in (None, name) and (times.points or times.assumed)
    ]
    return sorted(by_stage, key=lambda trend: (-len(trend.points), trend.process, trend.stage))


def _stage(group: tuple[str, str, str], times: Times) -> OverTemperature:
    points = times.points
    celsius, seconds, laws = points.celsius, points.seconds, points.laws
    is_told = list(map((0.0).__lt__, laws))  # not where the process's seconds are not a number
    told_laws = list(compress(laws, is_told))
    log_ratios = list(map(math.log, map(truediv, compress(seconds, is_told), told_laws)))
    return OverTemperature(
        process=group[0],
        stage=group[1],
        source=group[2],
        points=points,
        assumed=times.assumed,
        steps=tuple(_steps(celsius, seconds, laws)),
        ratio=math.exp(statistics.fmean(log_ratios)) if log_ratios else None,
        coefficient=coefficient(celsius, seconds),
        law=coefficient(list(compress(celsius, is_told)), told_laws),
        clears=times.clears,
    )


def _steps(
    celsius: Iterable[float], seconds: Iterable[float], laws: Iterable[float]
) -> Iterator[TemperatureStep]:
    """Yield the steps from the coldest to the warmest."""
    steps: dict[float, tuple[array[float], array[float]]] = {}
    for number, taken, law in zip(map(floordiv, celsius, repeat(BIN)), seconds, laws, strict=False):
        of_step = steps.get(number)
        if of_step is None:
            of_step = steps[number] = array("d"), array("d")
        of_step[0].append(taken)
        if law > 0:
            of_step[1].append(law)
    for number in sorted(steps):
        yield _step(int(number) * BIN, *steps[number])


def _step(least: float, seconds: Sequence[float], laws: Sequence[float]) -> TemperatureStep:
    return TemperatureStep(
        least,
        len(seconds),
        statistics.median(seconds),
        statistics.median(laws) if laws else None,
    )


def coefficient(celsius: Sequence[float], seconds: Sequence[float]) -> float | None:
    """Return how many times as long 10 °C colder takes, from °C and seconds; None with too few points."""
    if len(celsius) < FEWEST or max(celsius) - min(celsius) < LEAST_SPREAD:
        return None
    grows = slope(celsius, list(map(math.log, seconds)))
    return math.exp(max(-50.0, min(50.0, -10 * grows)))


def _over_plates(rows: Rows, stage: str | None) -> list[OverPlates]:
    """Count every plate that went into a fixer, whether its clearing was struck or not."""
    points_of: dict[FixerKey, FixerPoints] = defaultdict(FixerPoints)
    names: dict[FixerKey, str | None] = {}
    of_stages = members(rows.fixed, "asked", "cleared", "stage", "plate", "fixer")
    for (is_asked, cleared, name, plate, fixer), (key, count) in zip(
        of_stages, fixer_counts(rows.fixed), strict=True
    ):
        if is_asked and cleared and 0 < cleared <= MOST and stage in (None, name):
            points_of[key].append(count, cleared, plate)
            names[key] = fixer
    return [_fixer(names[key], key[0], points) for key, points in points_of.items()]


def _fixer(fixer: str | None, bottle: str | None, points: FixerPoints) -> OverPlates:
    counts, times = points.counts, points.seconds
    fresh = statistics.median(times[:3])
    doubled = None
    for at in range(len(points) - 3, 2, -1):
        if statistics.median(times[at : at + 3]) < 2 * fresh:
            break
        doubled = counts[at + 1]
    return OverPlates(
        fixer=fixer,
        bottle=bottle,
        points=points,
        slope=slope(counts, times) if len(points) >= FEWEST and counts[0] < counts[-1] else None,
        first=fresh,
        last=statistics.median(times[-3:]),
        doubled=doubled,
    )
