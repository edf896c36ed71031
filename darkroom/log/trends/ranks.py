"""Rank statistics: correlation, distance of groups, and what chance alone would reach. Pure.

The standard library ranks from Python 3.12 on; this project runs on 3.11.
"""

from __future__ import annotations

import math
from array import array
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate, chain
from operator import add
from statistics import NormalDist
from typing import Any

RARE = 0.05
"""What chance makes less often than this is called more than chance: common practice."""


def ranks(values: Iterable[float]) -> dict[float, float]:
    """Return {value: its rank}, from 1; equal values share the mean of their ranks."""
    return {value: (doubled + 3) / 2 for value, doubled in _ranked(sorted(values))[0].items()}


def _ranked(ordered: Sequence[float]) -> tuple[dict[float, int], float]:
    """Return {value: twice its rank, less 3}, and the sum of squares of the ranks' distance from their mean.

    Whole numbers all the way, so that their sums are right whatever their order. A run of equal values from
    place a to place b, counted from 0, has the rank 1 + (a + b) / 2.
    """
    doubled: dict[float, int] = Counter(ordered)  # at first how often each stands, in the order of the values
    lost = sum(runs * (size**3 - size) for size, runs in Counter(doubled.values()).items())  # Kendall 1945
    ends = array("q", accumulate(doubled.values(), initial=-1))
    summed = zip(doubled, map(add, ends, ends[1:]), strict=False)
    dict.update(doubled, summed)  # in place: of many values it is large
    return doubled, (len(ordered) ** 3 - len(ordered) - lost) / 12


def spearman(first: Sequence[float], second: Sequence[float]) -> float | None:
    """Return Spearman's rank correlation, -1 to 1, equal values included; None where one never changes.

    It is Pearson's correlation of the ranks (Spearman 1904).
    """
    groups: dict[float, list[float]] = {}
    for value, group in zip(first, second, strict=True):
        groups.setdefault(group, []).append(value)
    return spearman_grouped(groups)


def spearman_grouped(groups: Mapping[Any, Sequence[float]]) -> float | None:
    """Return the same as `spearman` for values grouped by the number they are compared with."""
    ordered = sorted(chain.from_iterable(groups.values()))
    doubled, spread = _ranked(ordered)
    middle = (len(ordered) + 1) / 2
    below, covariance, group_spread = 0, 0.0, 0.0
    for group in sorted(groups):
        size = len(groups[group])
        offset = below + (size + 1) / 2 - middle
        rank_sum = (sum(map(doubled.__getitem__, groups[group])) + 3 * size) / 2
        covariance += offset * (rank_sum - size * middle)
        group_spread += size * offset * offset
        below += size
    if not spread or not group_spread:
        return None
    return max(-1.0, min(1.0, covariance / math.sqrt(spread * group_spread)))


def quartiles(ordered: Sequence[float]) -> tuple[float, float, float]:
    """Return the quartiles of values that ascend, interpolated between neighbours; of one value that one.

    They are those of `statistics.quantiles` with its method "inclusive", which puts the values in order anew.
    """
    found = []
    for part in (1, 2, 3):
        place, share = divmod(part * (len(ordered) - 1), 4)
        after = ordered[min(place + 1, len(ordered) - 1)]
        found.append((ordered[place] * (4 - share) + after * share) / 4)
    return found[0], found[1], found[2]


def apart(groups: Mapping[str, Sequence[float]]) -> float | None:
    """Return how far groups lie apart in rank, 0 to 1; None where all values are equal.

    Its square is the share of the ranks' variance that lies between the groups: Kruskal and Wallis's H,
    ties allowed for, divided by n - 1. For two groups it is Spearman's coefficient of value and group.
    """
    ordered = sorted(chain.from_iterable(groups.values()))
    doubled, whole = _ranked(ordered)
    middle = (len(ordered) + 1) / 2
    if not whole:
        return None
    between = 0.0
    for values in groups.values():
        if values:
            rank_sum = (sum(map(doubled.__getitem__, values)) + 3 * len(values)) / 2
            between += (rank_sum - len(values) * middle) ** 2 / len(values)
    return math.sqrt(min(1.0, between / whole))


def by_chance(plates: int, looked_at: int, groups: int = 2) -> float:
    """Return the coefficient that chance alone reaches in one of 20 logs, among so many looked at.

    Of unrelated things, (n - 1) times the square of `spearman` or `apart` follows chi square of groups - 1
    about; the share allowed is divided by how many were looked at (Bonferroni). At most 1.
    """
    z = NormalDist().inv_cdf(1 - RARE / max(1, looked_at))
    free = max(1, groups - 1)
    if free == 1:
        square = NormalDist().inv_cdf(1 - RARE / max(1, looked_at) / 2) ** 2
    else:  # Wilson and Hilferty 1931
        square = free * (1 - 2 / (9 * free) + z * math.sqrt(2 / (9 * free))) ** 3
    return min(1.0, math.sqrt(square / max(1, plates - 1)))


def likely_share(hits: int, total: int) -> tuple[float, float]:
    """Return the 95 per cent interval of the true share (Wilson 1927)."""
    if not total:
        return 0.0, 1.0
    z = NormalDist().inv_cdf(0.975)
    share, square = hits / total, z * z
    middle = (share + square / (2 * total)) / (1 + square / total)
    half = z * math.sqrt(share * (1 - share) / total + square / (4 * total * total)) / (1 + square / total)
    return (
        0.0 if not hits else max(0.0, middle - half),
        1.0 if hits == total else min(1.0, middle + half),
    )
