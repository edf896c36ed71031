"""How well causes are found on invented plates, with the shipped catalogue's own weights and with wrong ones.

The plates are drawn by `tests.kit.invented_failures`; its command prints the table of DEVELOPERS.md. The
bounds stand a little outside of what 2,500 plates gave.
"""

from __future__ import annotations

from functools import cache

import pytest

from darkroom.faults.catalogue import Catalogue
from darkroom.resources import fault_catalogue
from tests.kit.invented_failures import Failed, Score, by_engine, by_one_cause, calibration, drawn, score
from tests.kit.invented_figures import base

COUNT = 400
UNRECORDED = 2000
"""So many plates of which nothing is recorded: all chances are small, fewer leave the errors to chance."""


def shipped() -> Catalogue:
    """Return the shipped catalogue, whole."""
    catalogue, problems = fault_catalogue()
    assert not problems
    return catalogue


@cache
def plates(recorded: float = 1.0, wrong: bool = False, shared: bool = False) -> tuple[Failed, ...]:
    """Return invented plates; the same for all tests that ask for the same."""
    return tuple(drawn(shipped(), COUNT if recorded else UNRECORDED, recorded, wrong, shared))


@cache
def scores(recorded: float = 1.0, wrong: bool = False, shared: bool = False) -> tuple[Score, Score]:
    """Return the engine's score and that of naive Bayes."""
    drawn = plates(recorded, wrong, shared)
    return score(shipped(), drawn, by_engine), score(shipped(), drawn, by_one_cause)


@pytest.mark.parametrize(
    ("recorded", "wrong", "shared", "first", "brier", "off"),
    [
        (1.0, False, False, 0.74, 0.10, 0.015),
        (1.0, True, False, 0.68, 0.15, 0.03),
        (0.5, False, False, 0.66, 0.15, 0.015),
        (0.5, True, False, 0.57, 0.21, 0.04),
        (1.0, False, True, 0.71, 0.12, 0.02),
        (1.0, True, True, 0.64, 0.17, 0.035),
    ],
    ids=[
        "own weights",
        "disturbed",
        "half missing",
        "half missing, disturbed",
        "shared",
        "shared, disturbed",
    ],
)
def test_the_cause_is_found_and_chances_mean_what_they_say(
    recorded: float, wrong: bool, shared: bool, first: float, brier: float, off: float
) -> None:
    """The first cause is right so often, its chance so good, and all chances so near to what was so."""
    engine, _ = scores(recorded, wrong, shared)
    assert engine.first >= first
    assert engine.brier <= brier
    assert engine.calibration <= off


@pytest.mark.parametrize(("recorded", "wrong"), [(1.0, False), (1.0, True), (0.5, False), (0.0, False)])
def test_one_cause_at_a_time_would_be_surer_than_it_may(recorded: float, wrong: bool) -> None:
    """Naive Bayes is off by half as much again or more, and more often wrong where it says under 5 %."""
    engine, naive = scores(recorded, wrong)
    assert naive.calibration > 1.5 * engine.calibration
    assert naive.small > 1.8 * engine.small
    assert naive.first <= engine.first + 0.01


def test_what_is_recorded_helps() -> None:
    """The whole record finds more causes than half of it, and that more than none."""
    whole, half, none = (scores(recorded)[0] for recorded in (1.0, 0.5, 0.0))
    assert whole.first > half.first > none.first + 0.1
    assert whole.brier < half.brier < none.brier


def test_without_a_record_chances_are_still_true() -> None:
    """With nothing but the faults that were marked, chances are those of the causes that show so."""
    assert scores(0.0)[0].calibration <= 0.035


def test_the_measure_of_calibration_finds_what_is_off() -> None:
    """Chances of 0.7 of which 7 in 10 are so are right; of which all are so they are off by 0.3."""
    right = [(0.7, number < 7) for number in range(10)]
    assert calibration(right) == pytest.approx(0.0)
    assert calibration([(0.7, True)] * 10) == pytest.approx(0.3)
    assert calibration([*right, *[(0.05, True)] * 10]) == pytest.approx(0.475)


def test_invented_values_are_worth_their_decibans() -> None:
    """Of a figure of -6 and 9 decibans, the value for it comes 10^0.9 times as often with the cause."""
    weights = [{"warm": -6.0}, {"warm": 9.0}]
    against, speaking_for = base(weights)
    assert against + speaking_for == pytest.approx(1)
    assert against * 10**-0.6 + speaking_for * 10**0.9 == pytest.approx(1, abs=1e-3)
