"""Curves through the rows of a table that rise or fall with the rows alone, and their inverse. Pure.

A monotone cubic (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5, 1984, 300-304): straight lines
miss a bent table, and a plain spline may rise where the rows fall. The slopes at the ends are those of the
parabola through three points, held back from overshooting, as `scipy.interpolate.PchipInterpolator` has them.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from itertools import pairwise


class MonotoneCurve:
    """A curve through points with rising x; three points or more."""

    __slots__ = ("slopes", "x", "y")

    def __init__(self, x: Sequence[float], y: Sequence[float]) -> None:
        self.x, self.y = tuple(x), tuple(y)
        self.slopes = monotone_slopes(self.x, self.y)

    def __call__(self, x: float) -> float:
        """Return the curve's y at an x between the first point and the last."""
        row = min(max(bisect_right(self.x, x), 1), len(self.x) - 1) - 1
        width = self.x[row + 1] - self.x[row]
        t = (x - self.x[row]) / width
        return (
            (1 + 2 * t) * (1 - t) ** 2 * self.y[row]
            + t * (1 - t) ** 2 * width * self.slopes[row]
            + t * t * (3 - 2 * t) * self.y[row + 1]
            + t * t * (t - 1) * width * self.slopes[row + 1]
        )


def monotone_slopes(x: Sequence[float], y: Sequence[float]) -> list[float]:
    """Return the slope at each point, so that the cubics between them rise and fall with the points alone."""
    widths = [right - left for left, right in pairwise(x)]
    rises = [(y[i + 1] - y[i]) / width for i, width in enumerate(widths)]
    inner = []
    for (before, after), (wide, wider) in zip(pairwise(rises), pairwise(widths), strict=True):
        if before * after <= 0:
            inner.append(0.0)
            continue
        first, second = 2 * wider + wide, wider + 2 * wide
        inner.append((first + second) / (first / before + second / after))
    return [_end_slope(widths, rises), *inner, _end_slope(widths[::-1], rises[::-1])]


def _end_slope(widths: Sequence[float], rises: Sequence[float]) -> float:
    """Return the slope at an end: of the parabola through three points, held back from overshooting."""
    slope = ((2 * widths[0] + widths[1]) * rises[0] - widths[0] * rises[1]) / (widths[0] + widths[1])
    if slope * rises[0] <= 0:
        return 0.0
    if rises[0] * rises[1] <= 0 and abs(slope) > 3 * abs(rises[0]):
        return 3 * rises[0]
    return slope


def where(rising: Callable[[float], float], value: float, least: float, most: float) -> float:
    """Return the x between `least` and `most` at which a rising function has a value, by bisection.

    The halving ends when no number lies between the two ends: the way back is as exact as numbers are.
    A value beyond the function's range gives the end that is nearest.
    """
    while True:
        middle = (least + most) / 2
        if not least < middle < most:
            return least if abs(rising(least) - value) <= abs(rising(most) - value) else most
        if rising(middle) < value:
            least = middle
        else:
            most = middle
