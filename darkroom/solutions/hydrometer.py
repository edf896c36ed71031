"""What a hydrometer says, on any of its scales, as a density at 20 °C. Pure.

A hydrometer is right at the temperature it is marked for: the liquid is denser when cold, and the glass is
smaller (25 millionths of its volume a degree, the usual figure for soda-lime glass; OIML R 22 has it too).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from darkroom.errors import BeyondTable, QuantityError, nearest
from darkroom.process.text.temperatures import show_celsius
from darkroom.solutions.density import Solute, at_20, density, mass_percent_of_percent, solute
from darkroom.solutions.grains import GRAMS_PER_ML, Ounce
from darkroom.solutions.water import COLDEST, HOTTEST, SIXTY_FAHRENHEIT, WATER_20, WATER_60F

GLASS = 25e-6
"""By which part the volume of a glass hydrometer grows with a degree."""
BAUME_MODULUS = 145.0
"""Baumé of the United States for liquids heavier than water, at 60 °F: SG 60/60 = 145 / (145 - °Bé)."""


class Scale(NamedTuple):
    """A scale that hydrometers have: `marked_at` is the temperature in °C at which it is right.

    A reading between `least` and `most` is believed; `density` gives the g/mL that a mark stands for.
    """

    name: str
    says: str
    marked_at: float
    least: float
    most: float
    density: Callable[[float], float]


def _silver(ounce: Ounce) -> Callable[[float], float]:
    def density_of(grains: float) -> float:
        silver = solute("silver-nitrate")
        percent = 100 * grains * GRAMS_PER_ML[ounce]
        return density(silver, mass_percent_of_percent(silver, percent))

    return density_of


_LISTED = (
    Scale(name="density", says="density in g/mL, marked for 20 °C", marked_at=20.0, least=0.5, most=3.0,
          density=lambda reading: reading),
    Scale(name="sg", says="specific gravity 20/20 °C", marked_at=20.0, least=0.5, most=3.0,
          density=lambda reading: reading * WATER_20),
    Scale(name="sg-60f", says="specific gravity 60/60 °F", marked_at=SIXTY_FAHRENHEIT, least=0.5, most=3.0,
          density=lambda reading: reading * WATER_60F),
    Scale(name="baume", says="degrees Baumé, modulus 145, 60 °F", marked_at=SIXTY_FAHRENHEIT, least=0.0,
          most=70.0,
          density=lambda reading: BAUME_MODULUS / (BAUME_MODULUS - reading) * WATER_60F),
    Scale(name="silver-us", says="silver hydrometer, grains to the US fluid ounce, marked for 20 °C",
          marked_at=20.0,
          least=0.0, most=500.0, density=_silver("US")),
    Scale(name="silver-imperial", says="silver hydrometer, grains to the imperial fluid ounce, marked for 20 "
                                       "°C",
          marked_at=20.0, least=0.0, most=500.0, density=_silver("imperial")),
)  # fmt: skip
SCALES: dict[str, Scale] = {scale.name: scale for scale in _LISTED}
"""{name: scale}."""


def scale(name: str) -> Scale:
    """Return a scale by its name. Raises QuantityError with the nearest right name."""
    found = SCALES.get(name)
    if found is None:
        near = nearest(name, SCALES)
        hint = f"did you mean '{near}'?" if near else f"there are {', '.join(SCALES)}"
        raise QuantityError(f"no hydrometer has a scale called '{name}' ({hint})")
    return found


class HydrometerReading(NamedTuple):
    """What a reading comes to: g/mL at 20 °C, and what was taken for granted, as sentences without a stop."""

    density_20: float
    took: tuple[str, ...]


def read_hydrometer(
    of: Solute, reading: float, on: Scale, celsius: float | None = None, marked_at: float | None = None
) -> HydrometerReading:
    """Return what a hydrometer's reading in a solution of a substance comes to at 20 °C.

    `celsius` is the solution's temperature, that of the marks where it is None; `marked_at` is for a
    hydrometer that is marked for another temperature than its scale usually is. Raises QuantityError for a
    reading that no hydrometer shows, BeyondTable for a temperature or a solution that is not known.
    """
    if not on.least < reading <= on.most:
        raise QuantityError(f"{reading:g} is no reading of a hydrometer: {on.says}")
    marks = on.marked_at if marked_at is None else marked_at
    then = marks if celsius is None else celsius
    for what, value in (("the hydrometer is marked for", marks), ("it was read at", then)):
        if not COLDEST <= value <= HOTTEST:
            raise BeyondTable(
                f"{what} {show_celsius(value)}: corrections are known between {COLDEST:g} and {HOTTEST:g} °C"
            )
    took = [
        on.says
        if marked_at is None
        else f"{on.says.partition(', marked')[0]}, marked for {show_celsius(marks)}"
    ]
    if celsius is None:
        took.append(f"read at {show_celsius(then)}: no temperature was given")
    else:
        took.append(f"read at {show_celsius(then)}")
    density_then = on.density(reading) * (1 - GLASS * (then - marks))
    return HydrometerReading(density_20=at_20(of, density_then, then), took=tuple(took))
