"""What a trend looks like, before any terminal or page: points, a curve, marks, axes and words. Pure."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from itertools import groupby, pairwise

import msgspec

from darkroom.log.trends import trend_text as words
from darkroom.log.trends.drying import OverWetTime
from darkroom.log.trends.scales import Scale, Unit, named, scale
from darkroom.log.trends.stars import OfWord, OverNumber, OverWord
from darkroom.log.trends.trends import BIN, OverPlates, OverTemperature, Trends

Point = tuple[float, float]
Subject = OverTemperature | OverPlates | OverWetTime | OverNumber | OverWord
FEWEST = 3
"""Fewer points than this are no picture."""
FIXERS = 3
"""The fixers used last that get a picture of their own."""
STARS = 12
"""The strongest things that stars go with get a picture, at most so many."""
WEAK = 3
"""And so many where nothing is stronger than chance."""
STEP = 0.25
"""A curve has a point at least every so many °C."""
NAMES = 10
"""More words than this would not stand beside each other."""


class Picture(msgspec.Struct, frozen=True, kw_only=True):
    """`points` are (x, y, plates); `line` is the process's curve; `spans` are (from, to); `marks` medians.

    `says` are the words below it. The names say what a shape stands for; "" where there is none.
    """

    title: str
    about: str
    across: Scale
    up: Scale
    points: tuple[tuple[float, float, int], ...]
    line: tuple[Point, ...] = ()
    marks: tuple[Point, ...] = ()
    spans: tuple[tuple[Point, Point], ...] = ()
    point_name: str = "plates"
    line_name: str = ""
    mark_name: str = ""
    span_name: str = ""
    says: tuple[str, ...] = ()


def subjects(found: Trends) -> list[Subject]:
    """Return the trends worth a picture: those that have a process's curve first."""
    times = [one for one in found.over_temperature if len(one.points) >= FEWEST]
    fixers = [one for one in found.over_plates if len(one.points) >= FEWEST]
    strong = [one for one in found.stars.found if one.strength > 1]
    return [
        *(one for one in times if one.law is not None or one.ratio is not None),
        *found.over_wet_time,
        *sorted(fixers, key=lambda one: one.points[-1][2], reverse=True)[:FIXERS],
        *(strong[:STARS] or found.stars.found[:WEAK]),
        *(one for one in times if one.law is None and one.ratio is None),
    ]


def next_kind(some: list[Subject], place: int, step: int) -> int:
    """Return the place of the first trend of the kind after (1), or before (-1), that of a place."""
    starts = [0]
    for _, group in groupby(some, lambda one: OverNumber if isinstance(one, OverWord) else type(one)):
        starts.append(starts[-1] + len(list(group)))
    here = max(n for n, start in enumerate(starts[:-1]) if start <= place)
    return starts[(here + step) % (len(starts) - 1)]


def picture(one: Subject) -> Picture:
    """Return what a trend looks like."""
    if isinstance(one, OverTemperature):
        return _over_temperature(one)
    if isinstance(one, OverPlates):
        return _over_plates(one)
    if isinstance(one, OverWetTime):
        return _over_wet_time(one)
    return _over_number(one) if isinstance(one, OverNumber) else _over_word(one)


def _over_temperature(one: OverTemperature) -> Picture:
    laws: dict[float, list[Point]] = defaultdict(list)
    for celsius, _, law, _ in one.points:
        if law is not None:
            laws[round(celsius * 2) / 2].append((celsius, law))
    knots = sorted(sorted(some)[len(some) // 2] for some in laws.values())
    line = tuple(_curve(knots))
    marks = tuple((step.least + BIN / 2, step.seconds) for step in one.steps if step.plates > 2)
    if line or len(marks) < 3:
        marks = ()
    times = [seconds for _, seconds, _, _ in one.points] + [seconds for _, seconds in line]
    return Picture(
        title=f"{one.stage} over the temperature of the {one.source}",
        about=one.process,
        across=scale(f"{one.source}, °C", "°C", [celsius for celsius, _, _, _ in one.points]),
        up=scale("time, min:s", "s", times),
        points=tuple((celsius, seconds, 1) for celsius, seconds, _, _ in one.points),
        line=line if len(line) > 1 else (),
        line_name="the process" if len(line) > 1 else "",
        marks=marks,
        mark_name=f"median of {BIN:g} °C" if marks else "",
        says=(words.counted(len(one.points), "plate"), *words.over_temperature(one)),
    )


def _curve(knots: list[Point]) -> Iterator[Point]:
    """Yield points between those that are known: the logarithm of a time is linear in temperature."""
    for (cold, slow), (warm, quick) in pairwise(knots):
        steps = max(1, math.ceil((warm - cold) / STEP))
        for step in range(steps):
            share = step / steps
            yield cold + share * (warm - cold), slow ** (1 - share) * quick**share
    yield from knots[-1:]


def _over_plates(one: OverPlates) -> Picture:
    return Picture(
        title=f"clearing time over the plates that {words.fixer_name(one.fixer)} had",
        about="",
        across=scale("plates the fixer had", "plates", [float(n) for n, _, _ in one.points]),
        up=scale("cleared after, min:s", "s", [0.0, *(seconds for _, seconds, _ in one.points)], True),
        points=tuple((float(n), seconds, 1) for n, seconds, _ in one.points),
        spans=((((float(one.points[0][0])), 2 * one.first), (float(one.points[-1][0]), 2 * one.first)),)
        if 2 * one.first <= max(seconds for _, seconds, _ in one.points)
        else (),
        span_name="twice the first time",
        says=tuple(words.over_plates(one)),
    )


def _over_wet_time(one: OverWetTime) -> Picture:
    middles = [((step.least + step.most) / 2, step) for step in one.steps]
    share = one.by == "share"
    unit: Unit = "share" if share else "s"
    return Picture(
        title=f"faults of drying over the {'share of the wet window' if share else 'wet time'} used",
        about="",
        across=scale(
            "share of the wet window used" if share else "wet time used, min:s",
            unit,
            [one.steps[0].least, one.steps[-1].most],
        ),
        up=scale("plates with a fault of drying", "share", [0.0, *(step.high for step in one.steps)], True),
        points=(),
        marks=tuple((middle, step.dried / step.plates) for middle, step in middles),
        mark_name="their share",
        spans=tuple(((x, step.low), (x, step.high)) for x, step in middles),
        span_name="the true share, likely (95 %)",
        says=tuple(words.over_wet_time(one)),
    )


_UNITS: dict[str, Unit] = {"s": "s", "°C": "°C", "%": "%", "plates": "plates", "": "share"}
_WRITTEN = {"s": ", min:s", "°C": ", °C"}


def _over_number(one: OverNumber) -> Picture:
    return Picture(
        title=f"stars against {one.thing}",
        about=one.process,
        across=scale(one.thing + _WRITTEN.get(one.unit, ""), _UNITS[one.unit], [x for x, _, _ in one.spread]),
        up=scale("stars", "stars", [float(step.stars) for step in one.by_star]),
        points=tuple((x, float(stars), plates) for x, stars, plates in one.spread),
        marks=tuple((step.median, float(step.stars)) for step in one.by_star),
        mark_name="median",
        says=tuple(words.over_stars(one)),
    )


def _over_word(one: OverWord) -> Picture:
    shown = one.words[:NAMES][::-1]
    return Picture(
        title=f"stars against {one.thing}",
        about="",
        across=Scale(label="stars", unit="stars", least=-0.3, most=5.3),
        up=named(one.thing, tuple(f"{word.word} ({word.plates:,})" for word in shown)),
        points=tuple(_counts(shown)),
        marks=tuple((word.mean, float(n)) for n, word in enumerate(shown)),
        mark_name="mean",
        says=tuple(words.over_stars(one)),
    )


def _counts(shown: tuple[OfWord, ...]) -> Iterator[tuple[float, float, int]]:
    for place, word in enumerate(shown):
        for stars, plates in enumerate(word.counts):
            if plates:
                yield float(stars), float(place), plates
