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
from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import chain, pairwise
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
    shares, seconds = _Used(), _Used()
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
            seconds.of(dried).append(wet_seconds)
            if humidity_from in (None, "assumed") or path not in rows.rooms or not window_seconds:
                assumed += 1
            else:
                shares.of(dried).append(wet_seconds / window_seconds)
    left_out = {"unjudged": unjudged, "unseen": unseen, "estimated": estimated}
    trends = [
        _over(shares, "share", _SHARES, assumed, left_out),
        _over(seconds, "seconds", _SECONDS, 0, left_out),
    ]
    return tuple(trend for trend in trends if trend is not None)


class _Used:
    """What plates used, with a fault of drying and without."""

    def __init__(self) -> None:
        self.dried, self.clean = array("d"), array("d")

    def of(self, dried: bool) -> array[float]:
        """Return the values of the plates with such a fault, or of those without."""
        return self.dried if dried else self.clean


def _over(
    used: _Used,
    by: Literal["share", "seconds"],
    steps: Sequence[float],
    assumed: int,
    left_out: dict[str, int],
) -> OverWetTime | None:
    plates = len(used.dried) + len(used.clean)
    if plates < FEWEST:
        return None
    dried, clean = sorted(used.dried), sorted(used.clean)
    return OverWetTime(
        by=by,
        steps=tuple(_steps(sorted(chain(clean, dried)), dried, steps)),
        plates=plates,
        dried=len(dried),
        median_dried=statistics.median(dried) if dried else None,
        median_clean=statistics.median(clean) if clean else None,
        coefficient=ranks.spearman_grouped({0: clean, 1: dried}),
        chance=ranks.by_chance(plates, 1),
        assumed=assumed,
        **left_out,
    )


def _steps(
    ordered: Sequence[float], dried: Sequence[float], allowed_sizes: Sequence[float]
) -> Iterator[WetStep]:
    """Yield the steps from shortest to longest; one of too few plates at an end joins its neighbour.

    `ordered` are the values of all plates, `dried` those with a fault of drying; both ascend.
    """
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

    def step_of(value: float) -> int:
        return min(int(value / size + 1e-9), highest)

    ends = [0]  # of each step its plates are those from one end to the next
    while ends[-1] < len(ordered):
        ends.append(bisect_right(ordered, step_of(ordered[ends[-1]]), lo=ends[-1], key=step_of))
    while len(ends) > 2 and ends[-1] - ends[-2] < FEWEST:
        del ends[-2]
    while len(ends) > 2 and ends[1] < FEWEST:
        del ends[1]
    for start, end in pairwise(ends):
        least, most = ordered[start], ordered[end - 1]
        having = bisect_right(dried, most) - bisect_left(dried, least)
        yield WetStep(
            round(math.floor(least / size + 1e-9) * size, 6),
            round((math.floor(most / size + 1e-9) + 1) * size, 6),
            end - start,
            having,
            *ranks.likely_share(having, end - start),
        )
