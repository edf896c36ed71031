"""The prediction of a plate as a mixture of normals: over the sds that may be, over slip or none. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from math import erfc, exp, inf, log, sqrt

import msgspec

from darkroom.exposure import priors
from darkroom.exposure.observations import Observations, Target
from darkroom.exposure.propagation import Fit, fit, noise_parts

_ROOT_HALF = sqrt(0.5)
_HOPELESS = 12.0
"""A pair of sds that is e to this times less likely than another is not followed to its end."""
_FINE = 1e-6
"""Stops: a quantile is looked for until it is known to this."""


class WeighedFit(msgspec.Struct, frozen=True):
    """A fit with its share: the prior weight of its sds times how well each plate was told by the others."""

    share: float
    day_variance: float
    fit: Fit


class Part(msgspec.Struct, frozen=True):
    """One normal of a mixture."""

    share: float
    mean: float
    variance: float


def fits(observations: Observations) -> list[WeighedFit]:
    """Return the fits for every sd of days and plates, their shares adding to 1."""
    found: list[tuple[float, float, Fit]] = []
    start, best = None, -inf
    for turn, (plate_sd, plate_weight) in enumerate(reversed(priors.PLATE_SDS)):
        # there and back, so that each fit starts from its neighbour's; the widest first, which rest soonest
        for day_sd, day_weight in priors.DAY_SDS[:: -1 if turn % 2 else 1]:
            weight = log(plate_weight * day_weight)
            there = fit(observations, day_sd**2, plate_sd**2, start, best - weight - _HOPELESS)
            start = there.sites
            found.append((weight + there.log_mass, day_sd**2, there))
            best = max(best, weight + there.log_mass)
    total = sum(exp(weight - best) for weight, _, _ in found)
    return [WeighedFit(exp(weight - best) / total, variance, there) for weight, variance, there in found]


def predicted(weighed: Sequence[WeighedFit], target: Target) -> list[Part]:
    """Return the mixture for the plate asked for: its speed with its own noise, in stops."""
    parts = []
    for each in weighed:
        mean, variance = each.fit.gaussian.of_target(target)
        for share, noise in noise_parts(each.fit.plate_variance + target.doubt):
            parts.append(Part(each.share * share, target.expected + mean, variance + noise))
    return parts


def quantile(parts: Sequence[Part], chance: float) -> float:
    """Return the value below which the mixture lies with this chance, which is between 0 and 1."""
    scaled = [(part.share, part.mean, _ROOT_HALF / sqrt(part.variance)) for part in parts]

    def below(value: float) -> float:
        return sum(share * erfc((mean - value) * scale) / 2 for share, mean, scale in scaled)

    widest = max(sqrt(part.variance) for part in parts)
    low, high = min(part.mean for part in parts) - widest, max(part.mean for part in parts) + widest
    while below(low) > chance:
        low -= widest
    while below(high) < chance:
        high += widest
    while high - low > _FINE:
        middle = (low + high) / 2
        low, high = (middle, high) if below(middle) < chance else (low, middle)
    return (low + high) / 2


def weights(weighed: Sequence[WeighedFit], target: Target) -> list[float]:
    """Return for each plate how many stops the prediction's mean moves for each stop its interval moves."""
    found = [0.0] * len(weighed[0].fit.cavities)
    for each in weighed:
        along = each.fit.gaussian.with_sites(target)
        for at, (covariance, precision) in enumerate(zip(along, each.fit.sites.precisions, strict=True)):
            found[at] += each.share * covariance * precision
    return found
