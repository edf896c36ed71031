"""Plates that the others contradict, and plates of one day that contradict each other. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite, sqrt

from darkroom.exposure.effects import Observed
from darkroom.exposure.gaussian import dot
from darkroom.exposure.learned import Disagreement, UnfittingPlate
from darkroom.exposure.observations import Observations, Site
from darkroom.exposure.prediction import WeighedFit

_SLIPPED = 0.5
"""How likely a slip has to be before a plate is said not to fit."""
_APART = 3.0
"""Standard deviations by which the intervals of two plates of one day lie apart that disagree."""


def unfitting(
    observed: Sequence[Observed], observations: Observations, weighed: Sequence[WeighedFit]
) -> list[UnfittingPlate]:
    """Return the plates that more likely slipped than not, the likeliest first."""
    found = []
    for at, (plate, site) in enumerate(zip(observed, observations.sites, strict=True)):
        chance = sum(each.share * each.fit.slips[at] for each in weighed)
        if chance <= _SLIPPED:
            continue
        speed = site.expected + sum(each.share * each.fit.cavities[at][0] for each in weighed)
        found.append(
            UnfittingPlate(
                plate=plate.plate.plate,
                number=plate.plate.number,
                said_low=plate.plate.low,
                said_high=plate.plate.high,
                expected=plate.given - speed,
                chance=chance,
            )
        )
    return sorted(found, key=lambda each: -each.chance)


def disagreeing(
    observed: Sequence[Observed], observations: Observations, weighed: Sequence[WeighedFit]
) -> list[Disagreement]:
    """Return pairs of plates of one day that lie too far apart, the farthest first, no plate twice.

    What is known to differ between the two is allowed for: their effects as learned, and the doubt of those.
    """
    best = max(weighed, key=lambda each: each.share).fit.gaussian
    plate_variance = sum(each.share * each.fit.plate_variance for each in weighed)
    effects = [
        sum(each.share * each.fit.gaussian.mean[at] for each in weighed)
        for at in range(len(observations.variances))
    ]
    by_day: dict[int, list[tuple[Observed, Site, float, float]]] = {}
    for plate, site in zip(observed, observations.sites, strict=True):
        known = dot(site.row, effects)
        by_day.setdefault(site.day, []).append((plate, site, site.low - known, site.high - known))
    pairs = []
    for members in by_day.values():
        for at, (first, site, low, high) in enumerate(members):
            for second, site_there, low_there, high_there in members[:at]:
                gap = max(low - high_there, low_there - high)
                # each plate's own noise with its doubt, and the plates' variance
                variance = 3 * plate_variance + site.doubt + site_there.doubt
                if gap <= _APART * sqrt(variance):
                    continue
                if gap <= _APART * sqrt(variance + best.between(site.row, site_there.row)):
                    continue
                middles = (low + high) / 2 - (low_there + high_there) / 2
                stops = abs(middles) if isfinite(middles) else gap
                pairs.append((gap, stops, first, second))
    found: list[Disagreement] = []
    named: set[str] = set()
    for _, stops, first, second in sorted(pairs, key=lambda pair: -pair[0]):
        if not named & {first.plate.plate, second.plate.plate}:
            named |= {first.plate.plate, second.plate.plate}
            earlier, later = sorted((first.plate, second.plate), key=lambda plate: plate.number)
            found.append(
                Disagreement(
                    plates=(earlier.plate, later.plate), numbers=(earlier.number, later.number), stops=stops
                )
            )
    return found
