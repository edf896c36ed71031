"""The smoothing does not hide a real change: its law for steps, ramps and noise."""

from __future__ import annotations

import math
import random

import pytest

from darkroom.devices.thermometers.smoothing import FOLLOW, Smoother

POLL = 5.0


def run(values, constant: float = 10.0, poll: float = POLL) -> list[float]:
    """Return the smoothed values of polls at a fixed rate."""
    smoother = Smoother(constant)
    return [smoother.take(value, n * poll) for n, value in enumerate(values)]


@pytest.mark.parametrize("size", [0.35, 0.5, 2.0, -3.0, 12.0])
@pytest.mark.parametrize("constant", [5.0, 10.0, 60.0])
def test_a_step_shows_at_the_third_poll(size: float, constant: float) -> None:
    """At the third poll a step is shown to within the follow limit, a large one whole."""
    shown = run([20.0] * 10 + [20.0 + size] * 5, constant)
    assert shown[9] == pytest.approx(20.0)
    assert abs(shown[12] - (20.0 + size)) <= FOLLOW
    if abs(size) > FOLLOW * math.exp(POLL / constant):
        assert shown[12] == pytest.approx(20.0 + size)


@pytest.mark.parametrize("rate", [0.001, 0.01, 0.05, -0.02])
@pytest.mark.parametrize("constant", [10.0, 120.0])
def test_a_ramp_lags_no_more_than_the_law_says(rate: float, constant: float) -> None:
    """On a ramp the lag stays within follow + 2 · rate · poll."""
    values = [20.0 + rate * n * POLL for n in range(200)]
    bound = FOLLOW + 2 * abs(rate) * POLL + 1e-9
    assert max(abs(a - b) for a, b in zip(run(values, constant), values, strict=True)) <= bound


def test_a_single_wild_poll_never_shows() -> None:
    """One wild value among steady ones changes nothing."""
    shown = run([20.0] * 5 + [24.0] + [20.0] * 5)
    assert pytest.approx(shown) == [20.0] * 11


def test_noise_is_made_smaller() -> None:
    """Noise of one step of a 12-bit sensor (0.0625 °C) comes out with less than half its deviation."""
    rng = random.Random(7)
    values = [20.0 + rng.gauss(0, 0.0625) for _ in range(2000)]
    shown = run(values, 30.0)[10:]
    deviation = math.sqrt(sum((v - 20.0) ** 2 for v in shown) / len(shown))
    assert deviation < 0.0625 / 2


def test_small_steps_follow_the_exponential() -> None:
    """Below the follow limit a step of s is s·(1 − e^(−t/T)) after the middle of three has moved."""
    shown = run([20.0] * 10 + [20.2] * 10, 10.0)
    for polls in (1, 2, 5, 9):
        # the middle of the last three moves one poll after the step
        assert shown[10 + polls] == pytest.approx(20.0 + 0.2 * (1 - math.exp(-polls * POLL / 10.0)))


def test_no_smoothing_is_no_smoothing() -> None:
    """A constant of 0 gives every value as it came."""
    assert run([20.0, 25.0, 21.0], 0.0) == [20.0, 25.0, 21.0]
