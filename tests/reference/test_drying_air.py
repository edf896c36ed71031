"""Vapour pressures and deficits against ASHRAE's published values and an open psychrometric library."""

from __future__ import annotations

import psychrolib
import pytest

from darkroom.process import wetness
from darkroom.process.model import WetWindow

psychrolib.SetUnitSystem(psychrolib.SI)

WINDOW = WetWindow(
    from_="sensitise", to="develop", time=600.0, temperature=20.0, humidity=50.0, longest=7200.0
)


# ASHRAE Handbook, Fundamentals (2017), chapter 1, table 3, as quoted in the tests of psychrolib.
@pytest.mark.parametrize(("celsius", "pascal"), [(5, 872.6), (25, 3169.7), (50, 12351.3)])
def test_saturation_pressures_of_the_ashrae_handbook(celsius: float, pascal: float) -> None:
    """Saturation pressures agree with the handbook's table within 0.1 %."""
    assert wetness.saturation(celsius) == pytest.approx(pascal, rel=1e-3)


# IAPWS-95 (computed with an open library of fluid properties, CoolProp 8).
@pytest.mark.parametrize(
    ("celsius", "pascal"),
    [(0.01, 611.65), (10, 1228.20), (18, 2064.73), (22, 2645.34), (28, 3783.05), (35, 5629.02)],
)
def test_saturation_pressures_of_the_international_formulation(celsius: float, pascal: float) -> None:
    """Saturation pressures agree with the international formulation for water within 0.5 %."""
    assert wetness.saturation(celsius) == pytest.approx(pascal, rel=5e-3)


@pytest.mark.parametrize("celsius", [1, 5, 12.5, 20, 27.5, 33, 40, 45])
@pytest.mark.parametrize("percent", [0, 10, 35, 50, 80, 95])
def test_deficits_agree_with_a_psychrometric_library(celsius: float, percent: float) -> None:
    """The vapour-pressure deficit agrees with psychrolib's within 0.5 % in any darkroom's air."""
    saturated = psychrolib.GetSatVapPres(celsius)
    theirs = saturated - psychrolib.GetVapPresFromRelHum(celsius, percent / 100)
    assert wetness.deficit(celsius, percent) == pytest.approx(theirs, rel=5e-3)


# Deficits at 101325 Pa computed with psychrolib 2.5.0; the time factor is that of 20 °C and 50 % over it.
@pytest.mark.parametrize(
    ("celsius", "percent", "deficit", "factor"),
    [
        (5, 80, 174.5, 6.702), (10, 80, 245.6, 4.761), (18, 45, 1135.4, 1.030), (20, 50, 1169.4, 1.000),
        (22, 55, 1190.1, 0.983), (25, 60, 1267.7, 0.922), (30, 30, 2972.2, 0.393), (35, 20, 4502.3, 0.260),
        (40, 15, 6275.9, 0.186),
    ],
)  # fmt: skip
def test_drying_times_follow_the_deficit(
    celsius: float, percent: float, deficit: float, factor: float
) -> None:
    """A window known at 20 °C and 50 % changes by the factor the library's deficits give."""
    assert wetness.deficit(celsius, percent) == pytest.approx(deficit, rel=5e-3)
    assert wetness.window_seconds(WINDOW, celsius, percent) == pytest.approx(600 * factor, rel=5e-3)


def test_hot_dry_air_gives_the_practitioners_three_to_five_minutes() -> None:
    """At 30 to 35 °C and 20 to 30 % the ten minutes shrink to two to five: common practice, no source."""
    for celsius in (30.0, 35.0):
        for percent in (20.0, 30.0):
            assert 120 <= wetness.window_seconds(WINDOW, celsius, percent) <= 300
