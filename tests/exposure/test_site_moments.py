"""The closed moments of what one interval says, against written figures and numerical integration."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from darkroom.exposure.site_moments import site_moments

PARTS = ((0.95, 0.0784), (0.05, 0.0784 + 2.25))
INF = math.inf


@pytest.mark.parametrize(
    ("mean", "variance", "low", "high", "expected"),
    [
        (0.3, 2.25, 0.5, INF, (0.4486055, 1.5816250, 0.8507100)),
        (1.0, 0.2, -INF, -0.5, (0.0107614, 0.6158966, 0.3230940)),
    ],
)
def test_moments_are_those_of_the_worked_examples(
    mean: float, variance: float, low: float, high: float, expected: tuple[float, float, float]
) -> None:
    """Two worked examples, one open upward and one downward, come out to the last written digit."""
    found = site_moments(mean, variance, low, high, PARTS)
    assert found[:3] == pytest.approx(expected, abs=5e-8)


@pytest.mark.parametrize(
    "bounds", [(-0.25, 0.25), (0.5, INF), (-INF, -0.5), (1.0, 1.1), (2.5, 3.5), (-INF, INF)]
)
@pytest.mark.parametrize(("mean", "variance"), [(0.0, 0.04), (0.3, 2.25), (-1.2, 0.5)])
def test_moments_are_those_of_numerical_integration(
    mean: float, variance: float, bounds: tuple[float, float]
) -> None:
    """Mass, mean, variance and the chance of a slip agree with scipy's quadrature of the very definition."""
    low, high = bounds
    prior = stats.norm(mean, math.sqrt(variance))

    def likelihood(value: float, parts: tuple[tuple[float, float], ...] = PARTS) -> float:
        noises = [(share, stats.norm(value, math.sqrt(noise))) for share, noise in parts]
        return float(sum(share * (noise.cdf(high) - noise.cdf(low)) for share, noise in noises))

    def integral(of: object) -> float:
        ends = (mean - 10 * math.sqrt(variance), mean + 10 * math.sqrt(variance))
        return float(integrate.quad(of, *ends, limit=400, epsabs=1e-12, points=[mean])[0])

    mass = integral(lambda f: prior.pdf(f) * likelihood(f))
    first = integral(lambda f: f * prior.pdf(f) * likelihood(f)) / mass
    second = integral(lambda f: (f - first) ** 2 * prior.pdf(f) * likelihood(f)) / mass
    slip = integral(lambda f: prior.pdf(f) * likelihood(f, PARTS[1:])) / mass
    found = site_moments(mean, variance, low, high, PARTS)
    assert found == pytest.approx((mass, first, second, slip), abs=1e-7)


@given(
    mean=st.floats(-50, 50),
    variance=st.floats(1e-6, 20),
    low=st.one_of(st.just(-INF), st.floats(-1000, 1000)),
    width=st.one_of(st.just(INF), st.floats(0.02, 30)),
)
def test_no_interval_however_far_breaks_the_sums(
    mean: float, variance: float, low: float, width: float
) -> None:
    """Far beyond what anybody would judge, moments stay finite, and the mean moves towards the interval."""
    high = low + width if low > -INF else width
    found = site_moments(mean, variance, low, high, PARTS)
    assert all(map(math.isfinite, found))
    assert 0 < found.mass <= 1 + 1e-12
    assert found.variance > 0
    assert 0 <= found.last_part <= 1
    slack = 1e-9 * (1 + abs(mean))
    if mean < low:
        assert found.mean >= mean - slack
    if mean > high:
        assert found.mean <= mean + slack
