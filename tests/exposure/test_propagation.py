"""Expectation propagation against what it approximates: exact posteriors by quadrature and by sampling."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from darkroom.exposure.observations import Observations, Site
from darkroom.exposure.propagation import fit, noise_parts
from darkroom.exposure.site_moments import site_moments

DAY, PLATE = 0.2, 0.08
INF = math.inf


def site(low: float, high: float, day: int = 0, age: float = 0.0) -> Site:
    """Return a plate with the common speed and an age."""
    return Site(((0, 1.0), (1, age)) if age else ((0, 1.0),), day, low, high, 0.0, 0.0)


@pytest.mark.parametrize("bounds", [(0.75, 1.25), (0.25, INF), (-INF, -2.0), (3.75, 4.25)])
def test_one_plate_is_exact(bounds: tuple[float, float]) -> None:
    """Of a single plate the posterior's mean and variance are the closed moments themselves."""
    found = fit(Observations((2.25,), 1, (site(*bounds),), ()), DAY, PLATE)
    exact = site_moments(0.0, 2.25 + DAY, *bounds, noise_parts(PLATE))
    assert found.gaussian.of_site(((0, 1.0),), 0)[0] == pytest.approx(exact.mean, abs=1e-4)
    if exact.variance < 2.25 + DAY:
        assert found.gaussian.of_site(((0, 1.0),), 0)[1] == pytest.approx(exact.variance, rel=1e-3)
    assert found.log_mass == pytest.approx(math.log(exact.mass))
    assert found.slips[0] == pytest.approx(exact.last_part)


@pytest.mark.parametrize(
    "plates",
    [
        (site(-0.25, 0.25), site(0.25, INF), site(0.1, 0.6)),
        (site(-0.25, 0.25), site(-0.75, -0.25, 1, 0.5), site(-INF, 0.25, 1, 0.5), site(-0.5, 0.0, 2, 1.0)),
        (site(-0.25, 0.25), site(0.0, 0.5), site(-0.5, 0.0, 1), site(2.75, 3.25, 1), site(-0.25, 0.25, 1)),
    ],
    ids=["one day", "ageing", "a slip"],
)
def test_several_plates_agree_with_sampling(plates: tuple[Site, ...]) -> None:
    """Mean and sd of a new day's speed agree within 0.07 stops with half a million weighted draws."""
    variances = (2.25, 0.09)
    found = fit(Observations(variances, 3, plates, ()), DAY, PLATE)
    draws = np.random.default_rng(7)
    effects = draws.normal(size=(500_000, 2)) * np.sqrt(variances)
    days = draws.normal(size=(500_000, 3)) * math.sqrt(DAY)
    log_weights = np.zeros(len(effects))
    for plate in plates:
        value = days[:, plate.day] + sum(factor * effects[:, at] for at, factor in plate.row)
        mass = sum(
            share * (stats.norm.cdf((plate.high - value) / sd) - stats.norm.cdf((plate.low - value) / sd))
            for share, sd in ((share, math.sqrt(noise)) for share, noise in noise_parts(PLATE))
        )
        log_weights += np.log(np.maximum(mass, 1e-300))
    weights = np.exp(log_weights - log_weights.max())
    speed = effects[:, 0]
    mean = float(np.average(speed, weights=weights))
    sd = math.sqrt(np.average((speed - mean) ** 2, weights=weights))
    assert found.gaussian.mean[0] == pytest.approx(mean, abs=0.07)
    assert math.sqrt(found.gaussian.covariance[0][0]) == pytest.approx(sd, abs=0.07)


def test_plates_that_pull_apart_come_to_rest() -> None:
    """Two camps of one day, three stops apart and each as large, end in a posterior that spans both."""
    plates = (*[site(-0.25, 0.25)] * 3, *[site(2.75, 3.25)] * 3)
    found = fit(Observations((2.25,), 1, plates, ()), DAY, PLATE)
    mean, variance = found.gaussian.of_site(((0, 1.0),), 0)
    assert -0.5 < mean < 3.5
    assert 0 < variance < 2.25 + DAY


def test_starting_nearby_ends_at_the_same_posterior() -> None:
    """A fit that starts from another's sites ends where one from nothing ends."""
    plates = (site(-0.25, 0.25), site(0.25, INF, 1), site(0.1, 0.6, 1), site(-1.0, -0.5, 2, 0.4))
    observations = Observations((2.25, 0.09), 3, plates, ())
    cold = fit(observations, DAY, PLATE)
    warm = fit(observations, DAY, PLATE, fit(observations, 0.04, 0.25).sites)
    assert warm.gaussian.mean == pytest.approx(cold.gaussian.mean, abs=0.02)
    assert warm.log_mass == pytest.approx(cold.log_mass, abs=0.05)
