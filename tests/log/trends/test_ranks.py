"""Ranks, and what chance alone makes: against worked examples and numpy."""

from __future__ import annotations

import math
import random
import statistics

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.log.trends import ranks
from tests.kit.ranks import by_numpy

NUMBERS = st.integers(min_value=-6, max_value=6).map(float)


def test_a_worked_example_of_rank_correlation() -> None:
    """Ten people, without ties: -29/165 (the example of most textbooks' tables, found on the web too)."""
    iq = [106, 86, 100, 101, 99, 103, 97, 113, 112, 110]
    hours = [7, 0, 27, 50, 28, 29, 20, 12, 6, 17]
    assert ranks.spearman(iq, hours) == pytest.approx(-29 / 165, abs=1e-12)


@given(st.lists(st.tuples(NUMBERS, NUMBERS), min_size=2, max_size=40))
def test_rank_correlation_is_numpy_s_of_the_average_ranks(points: list[tuple[float, float]]) -> None:
    """Ties included, it is Pearson's coefficient of average ranks; None where one never changes."""
    first, second = [p[0] for p in points], [p[1] for p in points]
    coefficient = ranks.spearman(first, second)
    if len(set(first)) < 2 or len(set(second)) < 2:
        assert coefficient is None
        return
    assert coefficient == pytest.approx(numpy.corrcoef(by_numpy(first), by_numpy(second))[0, 1], abs=1e-9)
    assert ranks.spearman(second, first) == pytest.approx(coefficient, abs=1e-9)


@given(st.lists(NUMBERS, max_size=40))
def test_equal_values_share_the_mean_of_their_ranks(values: list[float]) -> None:
    """Each value's rank is numpy's, and all ranks together make n (n + 1) / 2."""
    rank_of = ranks.ranks(values)
    assert [rank_of[value] for value in values] == by_numpy(values)
    assert sum(rank_of[value] for value in values) == len(values) * (len(values) + 1) / 2


def test_worked_examples_of_how_far_groups_lie_apart() -> None:
    """Three machines' caps: H = 5.656 (Kruskal and Wallis 1952, from memory), n - 1 times the square."""
    caps = {"A": [340, 345, 330, 342, 338], "B": [339, 333, 344], "C": [347, 343, 349, 355]}
    distance = ranks.apart(caps)
    assert distance is not None and 11 * distance**2 == pytest.approx(5.656, abs=5e-4)


def test_ties_are_allowed_for_between_groups() -> None:
    """H of an example with many ties, 4.0987 before they are allowed for, divided by the usual correction."""
    groups = {
        "A": [24, 32, 39, 34, 30, 40, 36, 38], "B": [28, 31, 35, 22, 38, 28, 32, 28],
        "C": [34, 31, 28, 24, 31, 26, 28, 34],
    }  # fmt: skip
    values = [value for values in groups.values() for value in values]
    ties = sum(n**3 - n for n in (values.count(value) for value in set(values)))
    distance = ranks.apart(groups)
    assert distance is not None
    assert 23 * distance**2 == pytest.approx(4.0987 / (1 - ties / (24**3 - 24)), abs=1e-3)


@given(st.lists(st.tuples(NUMBERS, st.booleans()), min_size=2, max_size=40))
def test_two_groups_lie_apart_as_far_as_they_correlate(points: list[tuple[float, bool]]) -> None:
    """For two groups it is the size of the rank correlation of value and group."""
    groups = {"no": [v for v, yes in points if not yes], "yes": [v for v, yes in points if yes]}
    distance, coefficient = (
        ranks.apart(groups),
        ranks.spearman([v for v, _ in points], [float(y) for _, y in points]),
    )
    if coefficient is None:
        assert distance is None or distance == 0
    else:
        assert distance == pytest.approx(abs(coefficient), abs=1e-9)


@pytest.mark.parametrize(
    ("so_many", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_likely_shares_are_those_of_the_literature(so_many: int, of: int, low: float, high: float) -> None:
    """Wilson's interval as Newcombe tabulates it (Statistics in Medicine 17, 1998, method 3, from memory)."""
    assert ranks.likely_share(so_many, of) == pytest.approx((low, high), abs=6e-5)
    assert ranks.likely_share(of - so_many, of) == pytest.approx((1 - high, 1 - low), abs=6e-5)


@pytest.mark.parametrize(("plates", "critical"), [(12, 0.587), (20, 0.447), (30, 0.362)])
def test_chance_of_one_thing_is_that_of_the_tables(plates: int, critical: float) -> None:
    """Tables of Spearman's coefficient, two-sided at 5 per cent (from memory), within 0.01."""
    assert ranks.by_chance(plates, 1) == pytest.approx(critical, abs=0.01)


@pytest.mark.parametrize(("looked_at", "groups"), [(1, 2), (12, 2), (12, 5)])
def test_chance_alone_seldom_goes_beyond_what_it_is_said_to_make(looked_at: int, groups: int) -> None:
    """In 400 logs of unrelated things, one in 20 has a thing beyond; never many more, nor none at all."""
    rng = random.Random(11)
    plates, beyond = 60, 0
    limit = ranks.by_chance(plates, looked_at, groups)
    for _ in range(400):
        stars = [float(rng.randint(1, 5)) for _ in range(plates)]
        strongest = 0.0
        for _ in range(looked_at):
            if groups == 2:
                coefficient = ranks.spearman([rng.random() for _ in stars], stars) or 0.0
            else:
                by_word: dict[str, list[float]] = {}
                for star in stars:
                    by_word.setdefault(str(rng.randrange(groups)), []).append(star)
                coefficient = ranks.apart(by_word) or 0.0
            strongest = max(strongest, abs(coefficient))
        beyond += strongest > limit
    # 20 are due; a binomial count of 400 at 0.05 has a standard deviation of 4.4
    assert 6 <= beyond <= 20 + 4 * math.sqrt(400 * 0.05 * 0.95)


@given(st.lists(NUMBERS, min_size=2, max_size=40))
def test_quartiles_are_those_of_the_standard_library(values: list[float]) -> None:
    """They are `statistics.quantiles` of the values, both ends included; of one value they are that one."""
    ordered = sorted(values)
    assert list(ranks.quartiles(ordered)) == statistics.quantiles(values, n=4, method="inclusive")
    assert ranks.quartiles(ordered[:1]) == (ordered[0], ordered[0], ordered[0])
