"""The judged plates as one small system of numbered effects, ready for the sums. Pure.

Effects that no plate tells apart, such as the process and the speed of an only process, count as one. Effects
of the wanted plate that no judged plate has are doubt of the wanted plate alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import sqrt

import msgspec

from darkroom.exposure import priors
from darkroom.exposure.effects import Described, Key, Observed, Term

Row = tuple[tuple[int, float], ...]
"""(number of the effect, its factor), the least number first."""
_SLOPES = ("age", "warmth")
"""Effects that every plate has and that say nothing of which plates are alike."""
_NARROWEST = 0.02
"""Stops: a judgement of less width is widened to this, so that its sums stay finite."""


class Site(msgspec.Struct, frozen=True):
    """A judged plate: effects, day, the bounds of its speed less what the priors expect, its own doubt."""

    row: Row
    day: int
    low: float
    high: float
    doubt: float
    expected: float


class Target(msgspec.Struct, frozen=True):
    """What is asked: effects, day (None for a new one), what the priors expect of it, its own doubt."""

    row: Row
    day: int | None
    expected: float
    doubt: float


class Observations(msgspec.Struct, frozen=True):
    """All sites, `days` of them, over effects with these prior variances and mean 0."""

    variances: tuple[float, ...]
    days: int
    sites: tuple[Site, ...]
    targets: tuple[Target, ...]


def number_effects(
    observed: Sequence[Observed], wanted: Sequence[tuple[Sequence[Term], float]], day: str
) -> Observations:
    """Return the system of these plates; `wanted` are targets of that day, each as terms and doubt."""
    told = [plate.described.terms for plate in observed]
    days = {name: at for at, name in enumerate(dict.fromkeys(each.plate.conditions.day for each in observed))}
    numbers, variances = _numbered([*told, *(terms for terms, _ in wanted)], len(told))
    sites = []
    for plate in observed:
        terms = plate.described.terms
        expected = _expected(terms)
        low, high = plate.low - expected, plate.high - expected
        widen = max(0.0, _NARROWEST - (high - low)) / 2
        sites.append(
            Site(
                row=_row(terms, numbers),
                day=days[plate.plate.conditions.day],
                low=low - widen,
                high=high + widen,
                doubt=plate.described.doubt,
                expected=expected,
            )
        )
    targets = []
    for asked, doubt in wanted:
        unseen = sum(term.prior.variance * term.at**2 for term in asked if term.key not in numbers)
        targets.append(Target(_row(asked, numbers), days.get(day), _expected(asked), doubt + unseen))
    return Observations(tuple(variances), len(days), tuple(sites), tuple(targets))


def most_telling(observed: Sequence[Observed], wanted: Described, day: str, most: int) -> list[Observed]:
    """Return at most so many plates, those that say most of the wanted one, the latest first among equals.

    Plates of its day come first and then those of its batch of collodion: what these two are can be told from
    nothing else. The others follow by the correlation of their speed with the wanted plate's before any plate
    was judged: those of the same light, process and lens.
    """
    latest = sorted(
        observed,
        key=lambda each: (each.plate.conditions.day, each.plate.number, each.plate.plate),
        reverse=True,
    )
    if len(latest) <= most:
        return latest
    there = {term.key: term.prior.variance for term in wanted.terms if term.key[0] not in _SLOPES}
    batches = {key for key in there if key[0] == "batch"}
    noise = sum(weight * sd * sd for sd, weight in (*priors.DAY_SDS, *priors.PLATE_SDS))

    def tells(each: Observed) -> tuple[bool, bool, float]:
        shared, own = 0.0, noise + each.described.doubt
        for term in each.described.terms:
            if term.key[0] not in _SLOPES:
                own += term.prior.variance
                shared += there.get(term.key, 0.0)
        same_batch = any(term.key in batches for term in each.described.terms)
        return each.plate.conditions.day == day, same_batch, shared / sqrt(own)

    return sorted(latest, key=tells, reverse=True)[:most]


def _numbered(rows: Sequence[Sequence[Term]], judged: int) -> tuple[dict[Key, int], list[float]]:
    """Return the number of each effect that a judged plate has, and the prior variance of each number."""
    columns: dict[Key, list[tuple[int, float]]] = {}
    own: dict[Key, float] = {}
    for at, terms in enumerate(rows):
        for term in terms:
            if term.at and (at < judged or term.key in columns):
                columns.setdefault(term.key, []).append((at, term.at))
                own[term.key] = term.prior.variance
    numbers: dict[Key, int] = {}
    variances: list[float] = []
    alike: dict[tuple[tuple[int, float], ...], int] = {}
    for key, column in columns.items():
        number = alike.setdefault(tuple(column), len(variances))
        if number == len(variances):
            variances.append(0.0)
        variances[number] += own[key]
        numbers[key] = number
    return numbers, variances


def _row(terms: Iterable[Term], numbers: dict[Key, int]) -> Row:
    """Return the factors by number; effects that count as one appear once."""
    found = {numbers[term.key]: term.at for term in terms if term.at and term.key in numbers}
    return tuple(sorted(found.items()))


def _expected(terms: Iterable[Term]) -> float:
    return sum(term.prior.mean * term.at for term in terms)
