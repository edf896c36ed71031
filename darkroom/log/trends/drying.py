"""How long plates stood wet, and how many of them show a fault of drying.

A plate counts when it was judged (stars, or a fault) and when strikes saw the wet time begin. For the
share of the wet window it counts only where room and humidity were read: the window is computed from
them. For minutes it counts in any air. All processes count together: how a film dries depends on
the air, not on the process. A typed wet time counts like a computed one.
"""

from __future__ import annotations

import math
import re
import statistics
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Literal

import msgspec

from darkroom.late_patterns import late_pattern
from darkroom.log.catalogue.trend_plates import MOST
from darkroom.log.trends import ranks
from darkroom.log.trends.facts import Rows
from darkroom.log.trends.plate_columns import members

DRYING = ("dry", "dried", "dries", "drying", "oyster", "iridescent")
"""Faults of drying have a word that begins so. Oyster-shell markings (a film partly dried), dry streaks at
the top of the plate, and the iridescent veil of a film that dried are the trade's own (nineteenth-century
manuals); anything else that people call dry is theirs."""
OTHER = ("crystal", "varnish", "not dry", "damp")
"""But these have other causes: salts on the finished plate, its varnish, a plate damp before coating."""
_DRYING = late_pattern("|".join(rf"\b{word}" for word in DRYING), re.IGNORECASE)
_OTHER = late_pattern("|".join(OTHER), re.IGNORECASE)
MOST_STEPS = 10
_SHARES = (0.05, 0.1, 0.2, 0.25, 0.5, 1.0)
_SECONDS = (10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1800.0)
FEWEST = 5
"""Fewer plates make no trend."""


class WetStep(msgspec.Struct, frozen=True):
    """The plates that were wet from `least` to below `most`: how many, how many of them show drying.

    The true share lies between `low` and `high` with 95 per cent.
    """

    least: float
    most: float
    plates: int
    dried: int
    low: float
    high: float


class OverWetTime(msgspec.Struct, frozen=True, kw_only=True):
    """Wet time used `by` share of the window (1 is all of it), or by seconds, against faults of drying.

    `median_dried` and `median_clean` are of the plates with such a fault and of those without.
    `coefficient` is the rank correlation of wet time and fault, `chance` what chance alone would reach.
    Left out: `unjudged` plates, those in `assumed` air, those whose wet time no strike began (`unseen`),
    and those whose clock stood in between (`estimated`).
    """

    by: Literal["share", "seconds"]
    steps: tuple[WetStep, ...]
    plates: int
    dried: int
    median_dried: float | None
    median_clean: float | None
    coefficient: float | None
    chance: float
    unjudged: int
    assumed: int
    unseen: int
    estimated: int


@lru_cache(4096)
def is_drying(fault: str) -> bool:
    """Return whether a fault's name is one of drying."""
    return bool(_DRYING.search(fault)) and not _OTHER.search(fault)


def over_wet_time(rows: Rows) -> tuple[OverWetTime, ...]:
    """Return the trends by share and by seconds; none of fewer plates than `FEWEST`."""
    shares: list[tuple[float, bool]] = []
    seconds: list[tuple[float, bool]] = []
    unjudged = assumed = unseen = estimated = 0
    for path, wet_seconds, window_seconds, stars, is_estimated, humidity_from in members(
        rows.plates, "path", "wet_used", "wet_about", "stars", "estimated", "humidity_from"
    ):
        if wet_seconds is None or not 0 < wet_seconds <= MOST:
            continue
        faults = rows.faults.get(path, ())
        if stars is None and not faults:
            unjudged += 1
        elif path in rows.unseen:
            unseen += 1
        elif is_estimated:
            estimated += 1
        else:
            dried = any(map(is_drying, faults))
            seconds.append((wet_seconds, dried))
            if humidity_from in (None, "assumed") or path not in rows.rooms or not window_seconds:
                assumed += 1
            else:
                shares.append((wet_seconds / window_seconds, dried))
    left_out = {"unjudged": unjudged, "unseen": unseen, "estimated": estimated}
    trends = [
        _over(shares, "share", _SHARES, assumed, left_out),
        _over(seconds, "seconds", _SECONDS, 0, left_out),
    ]
    return tuple(trend for trend in trends if trend is not None)


def _over(
    points: list[tuple[float, bool]],
    by: Literal["share", "seconds"],
    steps: Sequence[float],
    assumed: int,
    left_out: dict[str, int],
) -> OverWetTime | None:
    if len(points) < FEWEST:
        return None
    used = [value for value, _ in points]
    with_fault = [value for value, dried in points if dried]
    without = [value for value, dried in points if not dried]
    return OverWetTime(
        by=by,
        steps=tuple(_steps(points, steps)),
        plates=len(points),
        dried=len(with_fault),
        median_dried=statistics.median(with_fault) if with_fault else None,
        median_clean=statistics.median(without) if without else None,
        coefficient=ranks.spearman(used, [float(dried) for _, dried in points]),
        chance=ranks.by_chance(len(points), 1),
        assumed=assumed,
        **left_out,
    )


def _steps(points: list[tuple[float, bool]], allowed_sizes: Sequence[float]) -> Iterator[WetStep]:
    """Yield the steps from shortest to longest; one of too few plates at an end joins its neighbour."""
    ordered = sorted(value for value, _ in points)
    nearly_longest, first = ordered[int(0.99 * (len(ordered) - 1))], ordered[0]
    size = next(
        (
            allowed
            for allowed in allowed_sizes
            if math.floor(nearly_longest / allowed) - math.floor(first / allowed) < MOST_STEPS
        ),
        allowed_sizes[-1],
    )
    highest = math.floor(first / size + 1e-9) + MOST_STEPS
    bins: dict[int, list[tuple[float, bool]]] = {}
    for point in points:
        bins.setdefault(min(int(point[0] / size + 1e-9), highest), []).append(point)
    steps = [bins[number] for number in sorted(bins)]
    for end, beside in ((-1, -2), (0, 1)):
        while len(steps) > 1 and len(steps[end]) < FEWEST:
            steps[beside] += steps[end]
            del steps[end]
    for plates_of_step in steps:
        least, most = min(plates_of_step)[0], max(plates_of_step)[0]
        dried = sum(drying for _, drying in plates_of_step)
        yield WetStep(
            round(math.floor(least / size + 1e-9) * size, 6),
            round((math.floor(most / size + 1e-9) + 1) * size, 6),
            len(plates_of_step),
            dried,
            *ranks.likely_share(dried, len(plates_of_step)),
        )
