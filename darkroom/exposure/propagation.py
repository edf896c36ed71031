"""Expectation propagation: each judged interval as a mean and a precision, seen by all the others. Pure.

A plate's cavity is what all other plates say of its speed. The moments of the cavity and the plate's interval
together give the mean and precision that stand for the interval; this is repeated until nothing moves.
"""

from __future__ import annotations

from math import inf, log, sqrt

import msgspec

from darkroom.exposure.gaussian import Gaussian
from darkroom.exposure.observations import Observations
from darkroom.exposure.priors import SLIP_SHARE, SLIP_VARIANCE
from darkroom.exposure.site_moments import site_moments

_SWEEPS = 25
_STILL = 0.01
"""Standard deviations by which no plate's mean moves when it is enough."""
_ENOUGH_TO_JUDGE = 4
"""Sweeps after which it is seen whether a fit comes near the likeliest one."""
_LEAST_STEP, _SHORTER, _LONGER = 0.15, 0.7, 1.1
"""How far a sweep goes at least towards what it found, and how that changes where plates drive each other."""
_SHRINKS = 0.8
"""A sweep moves less than this part of the one before it, or its step is made shorter."""
_LEAST = 1e-6
"""The least precision of a plate: an interval that widens the doubt moves the mean alone."""


class Sites(msgspec.Struct, frozen=True):
    """What stands for each plate's interval: precision, and precision times mean."""

    precisions: tuple[float, ...]
    shifts: tuple[float, ...]


class Fit(msgspec.Struct, frozen=True):
    """The posterior for one sd of days and plates.

    `cavities` are the mean and variance of each plate's speed by the others, `slips` how likely each had a
    slip, `log_mass` the sum of the logarithms of how likely each interval was by the others.
    """

    gaussian: Gaussian
    sites: Sites
    plate_variance: float
    cavities: tuple[tuple[float, float], ...]
    slips: tuple[float, ...]
    log_mass: float


def noise_parts(variance: float) -> tuple[tuple[float, float], ...]:
    """Return the parts of a plate's own noise: the usual one, and the one of a slip."""
    return ((1 - SLIP_SHARE, variance), (SLIP_SHARE, variance + SLIP_VARIANCE))


def fit(
    observations: Observations,
    day_variance: float,
    plate_variance: float,
    start: Sites | None = None,
    hopeless: float = -inf,
) -> Fit:
    """Return the posterior; `start` are the sites of a fit nearby, from which it gets there sooner.

    A fit whose `log_mass` is below `hopeless` after some sweeps is left as it is.
    """
    plates = observations.sites
    parts = [noise_parts(plate_variance + plate.doubt) for plate in plates]
    precisions = list(start.precisions) if start else [_LEAST] * len(plates)
    shifts = list(start.shifts) if start else [0.0] * len(plates)
    gaussian = Gaussian(observations, day_variance, precisions, shifts)
    values = [gaussian.of_site(plate.row, plate.day) for plate in plates]
    cavities: list[tuple[float, float]] = []
    slips: list[float] = []
    log_mass, step, moved_before = 0.0, 1.0, inf
    for sweep in range(_SWEEPS if plates else 0):
        cavities, slips, log_mass = [], [], 0.0
        for at, (mean, variance) in enumerate(values):
            cavity = 1 / (1 / variance - precisions[at])
            cavity_mean = cavity * (mean / variance - shifts[at])
            found = site_moments(cavity_mean, cavity, plates[at].low, plates[at].high, parts[at])
            cavities.append((cavity_mean, cavity))
            slips.append(found.last_part)
            log_mass += log(found.mass)
            precision = max(_LEAST, 1 / found.variance - 1 / cavity)
            shift = found.mean * (precision + 1 / cavity) - cavity_mean / cavity
            precisions[at] += step * (precision - precisions[at])
            shifts[at] += step * (shift - shifts[at])
        gaussian = Gaussian(observations, day_variance, precisions, shifts)
        before, values = values, [gaussian.of_site(plate.row, plate.day) for plate in plates]
        moved = max(
            abs(there[0] - here[0]) / sqrt(here[1]) for here, there in zip(before, values, strict=True)
        )
        if moved < _STILL * step or (sweep >= _ENOUGH_TO_JUDGE and log_mass < hopeless):
            break
        if moved / step > _SHRINKS * moved_before:
            step = max(_LEAST_STEP, step * _SHORTER)
        else:
            step = min(1.0, step * _LONGER)
        moved_before = moved / step
    return Fit(
        gaussian=gaussian,
        sites=Sites(tuple(precisions), tuple(shifts)),
        plate_variance=plate_variance,
        cavities=tuple(cavities),
        slips=tuple(slips),
        log_mass=log_mass,
    )
