"""What many plates show: stage times over temperature, and clearing times over the plates a fixer had.

Works on rows of the catalogue. Assumed temperatures and stages that no strike ended stay out: neither
was seen.
"""

from __future__ import annotations

import math
import statistics
from collections import defaultdict
from collections.abc import Iterable, Sequence

import msgspec

from darkroom.log.catalogue_file import Row

BIN = 2.0
"""Temperatures are gathered in steps of so many °C."""
FEWEST = 5
"""Fewer plates tell nothing of how a time changes."""
LEAST_SPREAD = 2.0
"""Nor do temperatures that lie within so many °C."""


class Step(msgspec.Struct, frozen=True):
    """The plates between `least` and `least` + BIN °C: how many, and medians in seconds."""

    least: float
    plates: int
    seconds: float
    law: float | None


class OverTemperature(msgspec.Struct, frozen=True, kw_only=True):
    """One stage of one process. `points` are (°C, seconds, the process's seconds or None, plate).

    `ratio` is the geometric mean of what was taken over what the process says. `coefficient` is how many
    times longer 10 °C colder took, by least squares through the logarithm of the time; `law` is the same
    of the process's own times. `assumed` counts the plates left out since nobody read a thermometer.
    """

    process: str
    stage: str
    source: str
    points: tuple[tuple[float, float, float | None, str], ...]
    steps: tuple[Step, ...]
    ratio: float | None
    coefficient: float | None
    law: float | None
    assumed: int


class OverPlates(msgspec.Struct, frozen=True, kw_only=True):
    """The clearing times in one fixer. `points` are (plates it had, this one counted; seconds; plate).

    `slope` is how many seconds longer each plate took, by least squares. `doubled` is the plate count from
    which on every median of three is at least twice that of the first three (a fixer at its end: common
    practice, no source), or None.
    """

    fixer: str | None
    points: tuple[tuple[int, float, str], ...]
    slope: float | None
    first: float
    last: float
    doubled: int | None


class Trends(msgspec.Struct, frozen=True):
    """Both, most plates first."""

    over_temperature: tuple[OverTemperature, ...]
    over_plates: tuple[OverPlates, ...]


def trends(stages: Iterable[Row], fixed: Iterable[Row], stage: str | None = None) -> Trends:
    """Return the trends of the catalogue's `stages`, oldest plate first; of one `stage`, or of all.

    `fixed` are the stages of the whole log that end cleared: a fixer wears by every plate, not only by
    those that are asked for.
    """
    rows = list(stages)
    return Trends(tuple(_over_temperature(rows, stage)), tuple(_over_plates(rows, fixed, stage)))


def _over_temperature(rows: Sequence[Row], stage: str | None) -> list[OverTemperature]:
    seen: dict[tuple[str, str, str], list[tuple[float, float, float | None, str]]] = defaultdict(list)
    assumed: dict[tuple[str, str, str], int] = defaultdict(int)
    for row in rows:
        seconds = row["cleared"] if row["ends"] == "cleared" else row["seconds"]
        if row["source"] is None or row["how"] not in ("strike", "short") or not seconds or seconds <= 0:
            continue
        if row["ends"] == "exposure" or stage not in (None, row["stage"]):
            continue
        group = (row["process"] or "?", row["stage"], row["source"])
        if row["origin"] == "assumed" or row["celsius"] is None:
            assumed[group] += 1
        else:
            law = None if row["ends"] == "cleared" else row["law"]
            seen[group].append((row["celsius"], seconds, law, row["plate"]))
    found = [_stage(group, seen.get(group, []), assumed[group]) for group in {**seen, **assumed}]
    return sorted(found, key=lambda one: (-len(one.points), one.process, one.stage))


def _stage(
    group: tuple[str, str, str], points: list[tuple[float, float, float | None, str]], assumed: int
) -> OverTemperature:
    held = [(seconds, law) for _, seconds, law, _ in points if law]
    bins: dict[float, list[tuple[float, float | None]]] = defaultdict(list)
    for celsius, seconds, law, _ in points:
        bins[math.floor(celsius / BIN) * BIN].append((seconds, law))
    return OverTemperature(
        process=group[0], stage=group[1], source=group[2], points=tuple(points), assumed=assumed,
        steps=tuple(_step(least, bins[least]) for least in sorted(bins)),
        ratio=math.exp(statistics.fmean(math.log(s / law) for s, law in held)) if held else None,
        coefficient=coefficient([(celsius, seconds) for celsius, seconds, _, _ in points]),
        law=coefficient([(celsius, law) for celsius, _, law, _ in points if law]),
    )  # fmt: skip


def _step(least: float, some: list[tuple[float, float | None]]) -> Step:
    laws = [law for _, law in some if law]
    return Step(least, len(some), statistics.median(seconds for seconds, _ in some),
                statistics.median(laws) if laws else None)  # fmt: skip


def coefficient(points: Sequence[tuple[float, float]]) -> float | None:
    """Return how many times longer 10 °C colder takes, from (°C, seconds); None where too little is known."""
    celsius = [point[0] for point in points]
    if len(points) < FEWEST or max(celsius) - min(celsius) < LEAST_SPREAD:
        return None
    slope = statistics.linear_regression(celsius, [math.log(seconds) for _, seconds in points]).slope
    return math.exp(max(-50.0, min(50.0, -10 * slope)))


def _over_plates(rows: Sequence[Row], fixed: Iterable[Row], stage: str | None) -> list[OverPlates]:
    """Count every plate that went into a fixer, whether its clearing was struck or not."""
    counted: dict[str | None, int] = defaultdict(int)
    found: dict[str | None, list[tuple[int, float, str]]] = defaultdict(list)
    asked = {(row["path"], row["position"]) for row in rows if row["ends"] == "cleared"}
    for row in fixed:
        if row["ends"] != "cleared" or row["how"] == "skipped":
            continue
        counted[row["fixer"]] += 1
        wanted = (row["path"], row["position"]) in asked and stage in (None, row["stage"])
        if wanted and row["cleared"] and row["cleared"] > 0:
            found[row["fixer"]].append((counted[row["fixer"]], row["cleared"], row["plate"]))
    return [_fixer(fixer, points) for fixer, points in found.items()]


def _fixer(fixer: str | None, points: list[tuple[int, float, str]]) -> OverPlates:
    slope = None
    if len(points) >= FEWEST:
        slope = statistics.linear_regression([p[0] for p in points], [p[1] for p in points]).slope
    fresh = statistics.median(seconds for _, seconds, _ in points[:3])
    doubled = None
    for at in range(len(points) - 3, 2, -1):
        if statistics.median(seconds for _, seconds, _ in points[at : at + 3]) < 2 * fresh:
            break
        doubled = points[at + 1][0]
    return OverPlates(
        fixer=fixer, points=tuple(points), slope=slope, first=fresh,
        last=statistics.median(seconds for _, seconds, _ in points[-3:]), doubled=doubled,
    )  # fmt: skip
