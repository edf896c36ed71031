"""What one interval says of the value behind it: the closed moments of a truncated normal. Pure.

The value f has mean m and variance v by all other plates; the plate itself is f plus noise, and it lies
between two bounds. With noise s², r = √(v + s²), a = (low − m)/r, b = (high − m)/r, P = Φ(b) − Φ(a),
g = (φ(a) − φ(b))/P and h = (a·φ(a) − b·φ(b))/P, f has then the mean m + v·g/r and the variance
v + (v²/r²)·(h − g²), and P is how likely the interval was. Terms at infinite bounds are 0. Noise of several
parts, each with its share, gives the mixture of their moments.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import erf, erfc, exp, inf, pi, sqrt
from typing import NamedTuple

_ROOT_HALF = sqrt(0.5)
_PEAK = 1 / sqrt(2 * pi)
_FARTHEST = 30.0
"""Standard deviations beyond which an interval counts as this far: P would come to nothing at 38."""


class Moments(NamedTuple):
    """How likely the interval was, the mean and the variance of the value behind it.

    `last_part` is how likely the noise was that of the last part.
    """

    mass: float
    mean: float
    variance: float
    last_part: float


def site_moments(
    mean: float, variance: float, low: float, high: float, parts: Sequence[tuple[float, float]]
) -> Moments:
    """Return the moments after an interval; `parts` are (share, variance of the noise), shares adding to 1.

    `low` is below `high`; each may be infinite. A `variance` of 0 says how likely a known value's plate is.
    """
    mass = first = second = share_mass = 0.0
    for share, noise in parts:
        total = variance + noise
        r = sqrt(total)
        p, g, curve = _truncated((low - mean) / r, (high - mean) / r)
        shift = variance * g / r
        share_mass = share * p
        mass += share_mass
        first += share_mass * shift
        second += share_mass * (variance + variance * variance / total * curve + shift * shift)
    shift = first / mass
    return Moments(mass, mean + shift, second / mass - shift * shift, share_mass / mass)


def _truncated(a: float, b: float) -> tuple[float, float, float]:
    """Return P, g and h − g² of a standard normal between a and b."""
    if a > _FARTHEST:
        a, b = _FARTHEST, b - a + _FARTHEST
    elif b < -_FARTHEST:
        a, b = a - b - _FARTHEST, -_FARTHEST
    if a > 0:
        p = (erfc(a * _ROOT_HALF) - erfc(b * _ROOT_HALF)) / 2
    elif b < 0:
        p = (erfc(-b * _ROOT_HALF) - erfc(-a * _ROOT_HALF)) / 2
    else:
        p = (erf(b * _ROOT_HALF) - erf(a * _ROOT_HALF)) / 2
    g = h = 0.0
    if a != -inf:
        density = _PEAK * exp(-a * a / 2) / p
        g, h = density, a * density
    if b != inf:
        density = _PEAK * exp(-b * b / 2) / p
        g, h = g - density, h - b * density
    return p, g, h - g * g
