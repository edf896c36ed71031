"""How likely each cause is to be at work, from the faults that are seen and from what else is known. Pure.

A noisy-or model (Pearl, Probabilistic Reasoning in Intelligent Systems, 1988, section 4.3; named from
memory): causes are at work independently of one another, each that is at work shows as a fault with the
chance of its link, and a fault also comes from none of them with the chance `unexplained`. So one cause that
explains a fault makes the others less likely, and two or three may be at work at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import exp, fsum, log, log1p

from darkroom.faults.catalogue import Catalogue, Fault

MOST_AT_ONCE = 3
"""So many causes are at work at once at most."""
MOST_CANDIDATES = 32
"""So many causes are weighed at most (5,489 sets): the strongest of each marked fault in turn."""
NATURAL = log(10) / 10
"""A deciban as a natural logarithm."""

_Grown = tuple[tuple[int, ...], float, tuple[float, ...]]
"""A set of candidates, the logarithm of its odds, and the chances that each marked fault does not show."""


def posterior(
    catalogue: Catalogue, marked: Sequence[str], absent: Iterable[str], decibans: Mapping[str, float]
) -> tuple[dict[str, float], float]:
    """Return ({cause: chance that it is at work}, chance that none of them is).

    `marked` are the ids of the faults seen, `absent` of those that were looked for and not seen; ids that
    the catalogue does not hold say nothing. Only causes linked to a marked fault are weighed, in the order
    of the catalogue. `decibans` are what is known besides: {cause: 10·log10 of how many times likelier}.
    Without a marked fault it is ({}, 1.0).
    """
    seen = [catalogue.faults[fault] for fault in dict.fromkeys(marked) if fault in catalogue.faults]
    if not seen:
        return {}, 1.0
    missed = [
        catalogue.faults[fault]
        for fault in dict.fromkeys(absent)
        if fault in catalogue.faults and fault not in marked
    ]
    log_odds = {
        cause: _log_odds(catalogue, cause, decibans.get(cause, 0.0), missed)
        for cause in catalogue.linked(tuple(fault.id for fault in seen))
    }
    causes = _strongest(log_odds, seen)
    sets = _weighed_sets([log_odds[cause] for cause in causes], _misses(causes, seen), seen)
    greatest = max(weight for _, weight in sets)
    weights = [(members, exp(weight - greatest)) for members, weight in sets]
    whole = fsum(weight for _, weight in weights)
    shares: list[list[float]] = [[] for _ in causes]
    for members, weight in weights:
        for member in members:
            shares[member].append(weight)
    chances = {cause: min(1.0, fsum(share) / whole) for cause, share in zip(causes, shares, strict=True)}
    return chances, weights[0][1] / whole


def _log_odds(catalogue: Catalogue, cause: str, decibans: float, missed: Sequence[Fault]) -> float:
    """Return the natural log-odds of a cause before the marked faults are looked at.

    Faults that are not there speak against it by the chance that it would not have shown as them.
    """
    usual = catalogue.causes[cause].usual
    quiet = fsum(log1p(-fault.causes.get(cause, 0.0)) for fault in missed)
    return log(usual) - log1p(-usual) + NATURAL * decibans + quiet


def _strongest(log_odds: Mapping[str, float], seen: Sequence[Fault]) -> list[str]:
    """Return the causes to weigh, in the order of the catalogue: all, or each fault's strongest in turn."""
    if len(log_odds) <= MOST_CANDIDATES:
        return list(log_odds)
    ranked = [_by_strength(fault, log_odds) for fault in seen]
    chosen: set[str] = set()
    for place in range(max(map(len, ranked))):
        for causes in ranked:
            if place < len(causes) and len(chosen) < MOST_CANDIDATES:
                chosen.add(causes[place])
    return [cause for cause in log_odds if cause in chosen]


def _by_strength(fault: Fault, log_odds: Mapping[str, float]) -> list[str]:
    known = [cause for cause in fault.causes if cause in log_odds]
    return sorted(known, key=lambda cause: -(log_odds[cause] + log(fault.causes[cause])))


def _misses(causes: Sequence[str], seen: Sequence[Fault]) -> list[tuple[float, ...]]:
    return [tuple(1 - fault.causes.get(cause, 0.0) for fault in seen) for cause in causes]


def _weighed_sets(
    log_odds: Sequence[float], misses: Sequence[tuple[float, ...]], seen: Sequence[Fault]
) -> list[tuple[tuple[int, ...], float]]:
    """Return every set of candidates with the logarithm of its weight; the empty set is the first."""
    grown: list[_Grown] = [((), 0.0, tuple(1 - fault.unexplained for fault in seen))]
    weighed: list[tuple[tuple[int, ...], float]] = [((), _log_shown(grown[0]))]
    for _ in range(MOST_AT_ONCE):
        grown = [
            (
                (*members, added),
                weight + log_odds[added],
                tuple(keep * miss for keep, miss in zip(keeps, misses[added], strict=True)),
            )
            for members, weight, keeps in grown
            for added in range(members[-1] + 1 if members else 0, len(log_odds))
        ]
        weighed += [(one[0], _log_shown(one)) for one in grown]
    return weighed


def _log_shown(grown: _Grown) -> float:
    """Return the logarithm of the odds of a set times the chance that it shows as every marked fault."""
    return grown[1] + sum([log1p(-keep) for keep in grown[2]])
