"""Alcohol thinned with water: the two together are less than their sum. Pure.

Strengths are per cent by volume at 20 °C. Densities are those of OIML R 22, "International alcoholometric
tables", its polynomial at 20 °C in the part by mass. Denatured spirit is taken as alcohol and water alone.
"""

from __future__ import annotations

from typing import NamedTuple

from darkroom.errors import CannotMix, QuantityError
from darkroom.process.monotone import where
from darkroom.solutions.water import WATER_20

_COEFFICIENTS = (
    998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042, -613838.1234,
    747017.2998, -547846.1354, 223446.0334, -39032.85426,
)  # fmt: skip
"""kg/m³ for each power of the part of ethanol by mass, at 20 °C (OIML R 22, coefficients A1 to A12)."""


class Thinned(NamedTuple):
    """What to add to a spirit, and the volume it then is, in mL; `shrinks_ml` is what gets lost in mixing."""

    water_ml: float
    final_ml: float
    shrinks_ml: float


def density_by_mass(part: float) -> float:
    """Return g/mL at 20 °C for the part that is alcohol by mass, 0 to 1. Raises QuantityError."""
    if not 0 <= part <= 1:
        raise QuantityError(f"{part:g} is no part of a whole: it must lie between 0 and 1")
    return sum(coefficient * part**power for power, coefficient in enumerate(_COEFFICIENTS)) / 1000


ALCOHOL_20 = density_by_mass(1.0)
"""g/mL of pure alcohol at 20 °C: 0.78924."""


def by_volume(part: float) -> float:
    """Return per cent by volume for a part by mass. Raises QuantityError."""
    return 100 * part * density_by_mass(part) / ALCOHOL_20


def by_mass(percent: float) -> float:
    """Return the part by mass for per cent by volume. Raises QuantityError."""
    _check(percent)
    return where(by_volume, percent, 0.0, 1.0)


def spirit_density(percent: float) -> float:
    """Return g/mL at 20 °C for per cent by volume. Raises QuantityError."""
    return density_by_mass(by_mass(percent))


def thinned(volume: float, now: float, wanted: float) -> Thinned:
    """Return the water that thins so many mL of a spirit from one per cent by volume to another.

    Raises QuantityError, CannotMix where the wanted one is the stronger.
    """
    if not 0 < volume < float("inf"):
        raise QuantityError(f"the volume is {volume:g} mL: it must be more than 0")
    _check(now)
    _check(wanted)
    if wanted > now:
        raise CannotMix(f"{wanted:g} % by volume is stronger than {now:g} %: water does not make that")
    final = volume * now / wanted
    water = max(0.0, final * spirit_density(wanted) - volume * spirit_density(now)) / WATER_20
    return Thinned(water_ml=water, final_ml=final, shrinks_ml=volume + water - final)


def _check(percent: float) -> None:
    if not 0 < percent <= 100:
        raise QuantityError(f"{percent:g} % by volume: it must be more than 0 and at most 100")
