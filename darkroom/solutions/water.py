"""The density of pure water without air, 0 to 40 °C. Pure.

M. Tanaka, G. Girard, R. Davis, A. Peuto and N. Bignell, "Recommended table for the density of water between
0 °C and 40 °C", Metrologia 38 (2001) 301-309, adopted by the CIPM in 2001: uncertainty below 0.000001 g/mL.
"""

from __future__ import annotations

from darkroom.errors import BeyondTable

COLDEST, HOTTEST = 0.0, 40.0
"""The formula holds between these, in °C."""


def water_density(celsius: float) -> float:
    """Return the density of water in g/mL at a temperature in °C. Raises BeyondTable outside 0 to 40 °C."""
    if not COLDEST <= celsius <= HOTTEST:
        raise BeyondTable(
            f"{celsius:.4g} °C is beyond {COLDEST:g} to {HOTTEST:g} °C, where the density of water is known: "
            "let it come to the temperature of the room"
        )
    t = celsius
    return 0.999974950 * (1 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))


WATER_20 = water_density(20.0)
"""Density of water at 20 °C in g/mL: what SG 20/20 is counted by."""
SIXTY_FAHRENHEIT = (60 - 32) / 1.8
"""The temperature of old hydrometers in °C."""
WATER_60F = water_density(SIXTY_FAHRENHEIT)
"""Density of water at 60 °F in g/mL."""
