"""A trend as a picture for a terminal or a page to draw: points, a curve, marks, axes and words. Pure."""

from __future__ import annotations

import math
import statistics
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

import msgspec

from darkroom.log.trends import fault_share_text, trend_text
from darkroom.log.trends.drying import OverWetTime
from darkroom.log.trends.fault_shares import FaultShares
from darkroom.log.trends.scales import Scale, Unit, dates, named, scale
from darkroom.log.trends.speed import OverSpeed
from darkroom.log.trends.speed_lacks import SpeedLacks
from darkroom.log.trends.stars import OverNumber, OverWord, WordGroup
from darkroom.log.trends.trends import BIN, OverPlates, OverTemperature, Trends

Point = tuple[float, float]
Drawn = OverTemperature | OverPlates | OverWetTime | OverSpeed | FaultShares | OverNumber | OverWord
Subject = Drawn | SpeedLacks
FEWEST = 3
"""Trends with fewer points get no picture."""
FIXERS = 3
"""The fixers used last that get a picture of their own."""
FAULTS = 6
"""The first faults of `fault_shares` get a picture, at most so many."""
STARS = 12
"""The strongest things that stars go with get a picture, at most so many."""
WEAK = 3
"""At most so many where nothing is stronger than chance."""
STEP = 0.25
"""A curve has a point at least every so many °C."""
NAMES = 10
"""At most so many words fit on the axis of a picture."""


class Picture(msgspec.Struct, frozen=True, kw_only=True):
    """`points` are (x, y, plates); `line` is the process's curve; `spans` are (from, to); `marks` medians.

    `signs` are (x, letter) on the axis across. `says` are the words below it. The names say what a shape
    stands for; "" where there is none.
    """

    title: str
    about: str
    across: Scale
    up: Scale
    points: tuple[tuple[float, float, int], ...]
    line: tuple[Point, ...] = ()
    marks: tuple[Point, ...] = ()
    spans: tuple[tuple[Point, Point], ...] = ()
    signs: tuple[tuple[float, str], ...] = ()
    line_name: str = ""
    mark_name: str = ""
    span_name: str = ""
    says: tuple[str, ...] = ()


def subjects(trends: Trends) -> list[Drawn]:
    """Return the trends worth a picture: those that have a process's curve first."""
    times = [trend for trend in trends.over_temperature if len(trend.points) >= FEWEST]
    fixers = [trend for trend in trends.over_plates if len(trend.points) >= FEWEST]
    strong = [trend for trend in trends.stars.found if trend.strength > 1]
    return [
        *(trend for trend in times if trend.law is not None or trend.ratio is not None),
        *trends.over_speed,
        *[trend for trend in trends.fault_shares if len(trend.steps) > 1][:FAULTS],
        *trends.over_wet_time,
        *sorted(fixers, key=lambda trend: trend.points[-1][2], reverse=True)[:FIXERS],
        *(strong[:STARS] or trends.stars.found[:WEAK]),
        *(trend for trend in times if trend.law is None and trend.ratio is None),
    ]


def next_kind(trends: Sequence[Subject], place: int, step: int) -> int:
    """Return the place of the first trend of the kind after (1), or before (-1), that of a place."""
    starts = [0]
    for _, group in groupby(trends, lambda trend: OverNumber if isinstance(trend, OverWord) else type(trend)):
        starts.append(starts[-1] + len(list(group)))
    current = max(n for n, start in enumerate(starts[:-1]) if start <= place)
    return starts[(current + step) % (len(starts) - 1)]


def picture(trend: Drawn) -> Picture:
    """Return the picture of a trend."""
    if isinstance(trend, OverTemperature):
        return _over_temperature(trend)
    if isinstance(trend, OverPlates):
        return _over_plates(trend)
    if isinstance(trend, OverWetTime):
        return _over_wet_time(trend)
    if isinstance(trend, OverSpeed):
        return _over_speed(trend)
    if isinstance(trend, FaultShares):
        return _fault_shares(trend)
    return _over_number(trend) if isinstance(trend, OverNumber) else _over_word(trend)


def _over_temperature(trend: OverTemperature) -> Picture:
    laws: dict[float, list[Point]] = defaultdict(list)
    for celsius, _, law in trend.points.numbers():
        if not math.isnan(law):
            laws[round(celsius * 2) / 2].append((celsius, law))
    knots = sorted(statistics.median_high(points) for points in laws.values())
    line = tuple(_curve(knots))
    marks = tuple((step.least + BIN / 2, step.seconds) for step in trend.steps if step.plates > 2)
    if line or len(marks) < 3:
        marks = ()
    times = [*trend.points.seconds, *(seconds for _, seconds in line)]
    return Picture(
        title=f"{trend.stage} over the temperature of the {trend.source}",
        about=trend.process,
        across=scale(f"{trend.source}, °C", "°C", [*trend.points.celsius]),
        up=scale("time, min:s", "s", times),
        points=tuple((celsius, seconds, 1) for celsius, seconds, _ in trend.points.numbers()),
        line=line if len(line) > 1 else (),
        line_name="the process" if len(line) > 1 else "",
        marks=marks,
        mark_name=f"median of {BIN:g} °C" if marks else "",
        says=(trend_text.counted(len(trend.points), "plate"), *trend_text.over_temperature(trend)),
    )


def _curve(knots: list[Point]) -> Iterator[Point]:
    """Yield points between those that are known: the logarithm of a time is linear in temperature."""
    for (cold, slow), (warm, quick) in pairwise(knots):
        steps = max(1, math.ceil((warm - cold) / STEP))
        for step in range(steps):
            share = step / steps
            yield cold + share * (warm - cold), slow ** (1 - share) * quick**share
    yield from knots[-1:]


def _over_plates(trend: OverPlates) -> Picture:
    return Picture(
        title="clearing time over the plates of a fixer",
        about=trend_text.fixer_name(trend.fixer),
        across=scale("plates the fixer had", "plates", [float(n) for n, _, _ in trend.points]),
        up=scale("cleared after, min:s", "s", [0.0, *(seconds for _, seconds, _ in trend.points)], True),
        points=tuple((float(n), seconds, 1) for n, seconds, _ in trend.points),
        spans=(
            (((float(trend.points[0][0])), 2 * trend.first), (float(trend.points[-1][0]), 2 * trend.first)),
        )
        if 2 * trend.first <= max(seconds for _, seconds, _ in trend.points)
        else (),
        span_name="twice the median of the first three",
        says=tuple(trend_text.over_plates(trend)),
    )


def _over_wet_time(trend: OverWetTime) -> Picture:
    middles = [((step.least + step.most) / 2, step) for step in trend.steps]
    share = trend.by == "share"
    unit: Unit = "share" if share else "s"
    return Picture(
        title=f"faults of drying over the {'share of the wet window' if share else 'wet time'} used",
        about="",
        across=scale(
            "share of the wet window used" if share else "wet time used, min:s",
            unit,
            [trend.steps[0].least, trend.steps[-1].most],
        ),
        up=scale("plates with a fault of drying", "share", [0.0, *(step.high for step in trend.steps)], True),
        points=(),
        marks=tuple((middle, step.dried / step.plates) for middle, step in middles),
        mark_name="their share",
        spans=tuple(((x, step.low), (x, step.high)) for x, step in middles),
        span_name="the true share, likely (95 %)",
        says=tuple(trend_text.over_wet_time(trend)),
    )


def _over_speed(trend: OverSpeed) -> Picture:
    xs, ys = [x for x, _, _ in trend.points], [y for _, y, _ in trend.points]
    by_age = trend.by == "age"
    line: tuple[Point, ...] = ()
    if by_age:
        slope, at_zero = statistics.linear_regression(xs, ys)
        line = tuple((x, at_zero + slope * x) for x in (min(xs), max(xs)))
    marks = () if by_age else tuple((s.least, s.median) for s in trend.steps if s.plates > 1)
    up = "speed, stops above ISO 1" if trend.light is None else "speed, stops against the median"
    return Picture(
        title=trend_text.speed_title(trend),
        about=trend.process,
        across=scale("age of the collodion, days", "days", xs) if by_age else dates("working day", xs),
        up=scale(up, "stops", ys),
        points=tuple((x, y, 1) for x, y in zip(xs, ys, strict=True)),
        line=line,
        line_name="least squares" if line else "",
        marks=marks,
        mark_name="median of a day" if marks else "",
        says=tuple(trend_text.over_speed(trend)),
    )


def _fault_shares(trend: FaultShares) -> Picture:
    middles = [(step.least + (step.days - 1) / 2, step) for step in trend.steps]
    days = [
        *(float(day) for step in trend.steps for day in (step.least, step.least + step.days - 1)),
        *(float(change.day) for change in trend.changes),
    ]
    return Picture(
        title=fault_share_text.title(trend),
        about=fault_share_text.about(trend),
        across=dates("working day", days),
        up=scale("judged plates with it", "share", [0.0, *(step.high for step in trend.steps)], True),
        points=(),
        marks=tuple((middle, step.having / step.plates) for middle, step in middles),
        mark_name="their share",
        spans=tuple(((x, step.low), (x, step.high)) for x, step in middles),
        span_name="the true share, likely (95 %)",
        signs=tuple((float(change.day), fault_share_text.letter(trend, change)) for change in trend.changes),
        says=(*fault_share_text.summary(trend), *fault_share_text.signs(trend)),
    )


_UNITS: dict[str, Unit] = {"s": "s", "°C": "°C", "%": "%", "plates": "plates", "": "share"}
_WRITTEN = {"s": ", min:s", "°C": ", °C"}


def _over_number(trend: OverNumber) -> Picture:
    return Picture(
        title=f"stars against {trend.thing}",
        about=trend.process,
        across=scale(
            trend.thing + _WRITTEN.get(trend.unit, ""), _UNITS[trend.unit], [x for x, _, _ in trend.spread]
        ),
        up=scale("stars", "stars", [float(step.stars) for step in trend.by_star]),
        points=tuple((x, float(stars), plates) for x, stars, plates in trend.spread),
        marks=tuple((step.median, float(step.stars)) for step in trend.by_star),
        mark_name="median",
        says=tuple(trend_text.over_stars(trend)),
    )


def _over_word(trend: OverWord) -> Picture:
    shown = trend.words[:NAMES][::-1]
    return Picture(
        title=f"stars against {trend.thing}",
        about="",
        across=Scale(label="stars", unit="stars", least=-0.3, most=5.3),
        up=named(trend.thing, tuple(f"{word.word} ({word.plates:,})" for word in shown)),
        points=tuple(_word_points(shown)),
        marks=tuple((word.mean, float(n)) for n, word in enumerate(shown)),
        mark_name="mean",
        says=tuple(trend_text.over_stars(trend)),
    )


def _word_points(shown: tuple[WordGroup, ...]) -> Iterator[tuple[float, float, int]]:
    for place, word in enumerate(shown):
        for stars, plates in enumerate(word.counts):
            if plates:
                yield float(stars), float(place), plates
