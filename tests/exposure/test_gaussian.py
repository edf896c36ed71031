"""The linear model's posterior, against generalised least squares and plain matrix algebra."""

from __future__ import annotations

import random

import numpy as np
import pytest
from statsmodels.regression.linear_model import GLS

from darkroom.exposure.gaussian import Gaussian
from darkroom.exposure.observations import Observations, Row, Site, Target

SPEEDS = (0.50, 0.25, 0.75, 0.00, -0.25, 0.10, 0.40, -0.60, -0.35)
AGES = (5, 5, 5, 19, 19, 33, 33, 60, 60)
CELSIUS = (20, 20, 20, 17, 17, 23, 23, 19, 19)
SHADE = (0, 0, 1, 0, 1, 0, 0, 1, 0)
DAYS = (0, 0, 0, 1, 1, 2, 2, 3, 3)
PLATE_VARIANCE, DAY_VARIANCE = 0.3**2, 0.45**2
FLAT = 1e10


def row(age: float, celsius: float, shade: int) -> Row:
    """Return a plate's effects: speed, age per 100 days, warmth per 10 °C, shade."""
    return ((0, 1.0), (1, age / 100), (2, (celsius - 20) / 10), (3, float(shade)))


def measured(target: Target) -> Gaussian:
    """Return the posterior of the nine plates, each measured to the plate's sd, under flat priors."""
    sites = [
        Site(row(age, celsius, shade), day, 0.0, 0.0, 0.0, 0.0)
        for age, celsius, shade, day in zip(AGES, CELSIUS, SHADE, DAYS, strict=True)
    ]
    observations = Observations((FLAT,) * 4, 4, tuple(sites), (target,))
    precisions = [1 / PLATE_VARIANCE] * len(SPEEDS)
    return Gaussian(observations, DAY_VARIANCE, precisions, [speed / PLATE_VARIANCE for speed in SPEEDS])


NEW_DAY = Target(row(40, 21, 1), None, 0.0, 0.0)


def test_nine_plates_give_the_written_estimates() -> None:
    """Effects and the prediction for a new day are the written figures of the worked example."""
    gaussian = measured(NEW_DAY)
    assert gaussian.mean == pytest.approx((0.516748, -1.555144, 0.969392, 0.002511), abs=1e-6)
    mean, variance = gaussian.of_target(NEW_DAY)
    assert mean == pytest.approx(-0.00586, abs=5e-6)
    assert variance == pytest.approx(0.33076, abs=5e-6)


def test_nine_plates_give_what_generalised_least_squares_gives() -> None:
    """Effects, their covariance and the prediction agree with statsmodels, run here and now."""
    days = np.array(DAYS)
    covariance = PLATE_VARIANCE * np.eye(len(SPEEDS)) + DAY_VARIANCE * (days[:, None] == days[None, :])
    design = np.column_stack(
        [np.ones(len(SPEEDS)), np.array(AGES) / 100, (np.array(CELSIUS) - 20) / 10, np.array(SHADE, float)]
    )
    fitted = GLS(np.array(SPEEDS), design, sigma=covariance).fit()
    of_effects = np.linalg.inv(design.T @ np.linalg.solve(covariance, design))
    asked = np.array([factor for _, factor in NEW_DAY.row])
    gaussian = measured(NEW_DAY)
    assert gaussian.mean == pytest.approx(fitted.params, abs=1e-6)
    assert np.allclose(gaussian.covariance, of_effects, atol=1e-6)
    mean, variance = gaussian.of_target(NEW_DAY)
    assert mean == pytest.approx(asked @ fitted.params, abs=1e-6)
    assert variance == pytest.approx(asked @ of_effects @ asked + DAY_VARIANCE, abs=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_days_summed_out_are_days_in_the_matrix(seed: int) -> None:
    """Means, variances and covariances are those of the full system that has each day as an effect."""
    chance = random.Random(seed)
    width, days, plates = 5, 3, 11
    rows = [
        tuple((at, chance.uniform(-1, 2)) for at in sorted(chance.sample(range(width), 3)))
        for _ in range(plates)
    ]
    there = [chance.randrange(days) for _ in rows]
    precisions = [chance.choice((1e-6, chance.uniform(0.5, 20))) for _ in rows]
    shifts = [chance.uniform(-5, 5) for _ in rows]
    variances = tuple(chance.uniform(0.1, 3) for _ in range(width))
    target = Target(((0, 1.0), (3, -0.5)), seed % days, 0.0, 0.0)
    sites = tuple(Site(row, day, 0.0, 0.0, 0.0, 0.0) for row, day in zip(rows, there, strict=True))
    gaussian = Gaussian(Observations(variances, days, sites, (target,)), 0.3, precisions, shifts)

    def full(row: Row, day: int | None) -> np.ndarray:
        vector = np.zeros(width + days)
        for at, factor in row:
            vector[at] = factor
        if day is not None:
            vector[width + day] = 1.0
        return vector

    design = np.array([full(row, day) for row, day in zip(rows, there, strict=True)])
    matrix = np.diag([*(1 / variance for variance in variances), *[1 / 0.3] * days])
    covariance = np.linalg.inv(matrix + design.T @ np.diag(precisions) @ design)
    mean = covariance @ design.T @ np.array(shifts)
    asked = full(target.row, target.day)
    assert gaussian.of_target(target) == pytest.approx((asked @ mean, asked @ covariance @ asked))
    assert gaussian.with_sites(target) == pytest.approx(list(design @ covariance @ asked))
    for vector, site in zip(design, sites, strict=True):
        assert gaussian.of_site(site.row, site.day) == pytest.approx(
            (vector @ mean, vector @ covariance @ vector)
        )
    apart = full(rows[0], None) - full(rows[1], None)
    assert gaussian.between(rows[0], rows[1]) == pytest.approx(apart @ covariance @ apart)
