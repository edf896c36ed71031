"""The light a collodion plate sees under a clear sky, against the sun's altitude. Pure.

Light is told in stops more than flat ground has with the sun at 60°, 1 for half the light. The table's
numbers and how they are made stand in `actinic_table`; between its rows a monotone cubic in the logarithm of
the altitude is drawn (F. N. Fritsch and J. Butland, 1984), which keeps the curve from rising where the rows
fall.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from math import log, log2

from darkroom.errors import WrongUse, nearest
from darkroom.exposure.actinic_table import ROWS
from darkroom.process.scene import RECEIVERS

LEAST_ALTITUDE = ROWS[0][0]
"""The table ends here: the model of the sky is not believed below."""

_FLAT, _FLAT_SHADE, _FACING, _AWAY = range(1, 5)


def stops(altitude: float, receiver: str = "scene", *, shade: bool = False) -> float | None:
    """Return the stops that something receives less than flat ground with the sun at 60°.

    `receiver` is one of `RECEIVERS`. The whole scene counts as half flat ground and half upright, turned away
    from the sun: of the mixtures tried it follows Scott's table best. In shade only the light of sky and
    ground arrives: what stands upright then has what a side turned away has in the open. None below 2°.
    Raises WrongUse for an unknown receiver.
    """
    if receiver not in RECEIVERS:
        near = nearest(receiver, RECEIVERS)
        hint = f"did you mean '{near}'?" if near else f"there are {', '.join(RECEIVERS)}"
        raise WrongUse(f"nothing that faces the light is called '{receiver}' ({hint})")
    if not altitude >= LEAST_ALTITUDE:  # NaN too
        return None
    flat, upright = (_FLAT_SHADE, _AWAY) if shade else (_FLAT, _FACING)
    if receiver == "scene":
        return -log2((2 ** -_column(flat, altitude) + 2 ** -_column(_AWAY, altitude)) / 2)
    return _column({"flat": flat, "facing": upright, "away": _AWAY}[receiver], altitude)


def _column(column: int, altitude: float) -> float:
    """Return the stops of a column of the table at an altitude within it."""
    logs, slopes = _curve(column)
    x = log(min(altitude, ROWS[-1][0]))
    row = min(bisect_right(logs, x), len(logs) - 1) - 1
    width = logs[row + 1] - logs[row]
    t = (x - logs[row]) / width
    left, right = ROWS[row][column], ROWS[row + 1][column]
    return (
        (1 + 2 * t) * (1 - t) ** 2 * left
        + t * (1 - t) ** 2 * width * slopes[row]
        + t * t * (3 - 2 * t) * right
        + t * t * (t - 1) * width * slopes[row + 1]
    )


@cache
def _curve(column: int) -> tuple[list[float], list[float]]:
    """Return the logarithms of the altitudes and the slopes there of a column's curve."""
    logs = [log(row[0]) for row in ROWS]
    return logs, _monotone_slopes(logs, [row[column] for row in ROWS])


def _monotone_slopes(x: Sequence[float], y: Sequence[float]) -> list[float]:
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
