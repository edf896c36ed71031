"""How much is dissolved: one value, said in every way the trade says it. Pure.

Volumes are those at 20 °C. Mass and amount are of the named substance, as it lies in the jar: 9 % hypo is 9
g of crystals in 100 mL.
"""

from __future__ import annotations

from typing import NamedTuple

from darkroom.errors import QuantityError
from darkroom.solutions.density import (
    IRON_CORRECTED,
    SOLUTES,
    Solute,
    correction_known,
    density,
    mass_percent_of_density,
    mass_percent_of_percent,
    solute,
)
from darkroom.solutions.grains import GRAMS_PER_ML, Ounce
from darkroom.solutions.hydrometer import BAUME_MODULUS
from darkroom.solutions.water import WATER_20

USED_BATH = (
    "A used bath reads low: the alcohol that plates carry in makes it lighter (5 % of it make 9 % read about "
    "8 %, an estimate). Its reading is 'at least', unless it was boiled down since. Certain is an assay: the "
    "silver chloride of a measured volume, weighed."
)
"""Said before any grams that a reading of a silver bath leads to."""
READ_TO = 0.001
"""How finely a hydrometer is read, in g/mL (common practice, no source)."""


class Strength(NamedTuple):
    """The strength of a solution of `substance` (a name of `density.SOLUTES`), held as mass per cent."""

    substance: str
    mass_percent: float

    @property
    def solute(self) -> Solute:
        """Whose solution it is."""
        return SOLUTES[self.substance]

    @property
    def density_20(self) -> float:
        """g/mL at 20 °C."""
        return density(self.solute, self.mass_percent)

    @property
    def percent_wv(self) -> float:
        """Grams in 100 mL of solution."""
        return self.mass_percent * self.density_20

    @property
    def grams_per_litre(self) -> float:
        """Grams in a litre of solution."""
        return 10 * self.percent_wv

    @property
    def mol_per_litre(self) -> float:
        """Moles in a litre of solution."""
        molar_mass = self.solute.substance.molar_mass
        assert molar_mass is not None
        return self.grams_per_litre / molar_mass

    @property
    def sg(self) -> float:
        """Specific gravity 20/20 °C."""
        return self.density_20 / WATER_20

    @property
    def baume(self) -> float:
        """Degrees Baumé, modulus 145; its SG 60/60 °F is taken as SG 20/20 °C, as if it shrank like water."""
        return BAUME_MODULUS * (1 - 1 / self.sg)

    @property
    def grams_per_ml_of_water(self) -> float:
        """Grams that were dissolved in each mL of water at 20 °C."""
        return self.mass_percent / (100 - self.mass_percent) * WATER_20

    def grains(self, ounce: Ounce, *, of_water: bool = False) -> float:
        """Return grains to the fluid ounce, of solution or of the water they were dissolved in."""
        grams_per_ml = self.grams_per_ml_of_water if of_water else self.percent_wv / 100
        return grams_per_ml / GRAMS_PER_ML[ounce]


def of_mass_percent(substance: str, mass_percent: float) -> Strength:
    """Return the strength with so many grams in 100 g of solution. Raises QuantityError, BeyondTable."""
    _positive("mass per cent", mass_percent)
    density(solute(substance), mass_percent)
    return Strength(substance=substance, mass_percent=mass_percent)


def of_percent_wv(substance: str, percent_wv: float) -> Strength:
    """Return the strength with so many grams in 100 mL of solution. Raises QuantityError, BeyondTable."""
    _positive("per cent", percent_wv)
    mass_percent = mass_percent_of_percent(solute(substance), percent_wv)
    return Strength(substance=substance, mass_percent=mass_percent)


def of_grams_per_litre(substance: str, grams: float) -> Strength:
    """Return the strength with so many grams in a litre of solution. Raises QuantityError, BeyondTable."""
    return of_percent_wv(substance, grams / 10)


def of_mol_per_litre(substance: str, moles: float) -> Strength:
    """Return the strength with so many moles in a litre of solution. Raises QuantityError, BeyondTable."""
    molar_mass = solute(substance).substance.molar_mass
    assert molar_mass is not None
    return of_grams_per_litre(substance, moles * molar_mass)


def of_grains(substance: str, grains: float, ounce: Ounce, *, of_water: bool = False) -> Strength:
    """Return the strength with so many grains to the fluid ounce of solution, or of the water they went into.

    40 grains to the US ounce are 8.76 % w/v of solution and 8.63 % w/v of water. Raises QuantityError,
    BeyondTable.
    """
    _positive("number of grains", grains)
    grams_per_ml = grains * GRAMS_PER_ML[ounce]
    if of_water:
        return of_mass_percent(substance, 100 * grams_per_ml / (grams_per_ml + WATER_20))
    return of_percent_wv(substance, 100 * grams_per_ml)


def of_density(substance: str, density_20: float) -> Strength:
    """Return the strength with a density at 20 °C in g/mL. Raises QuantityError, BeyondTable."""
    _positive("density", density_20)
    return Strength(substance=substance, mass_percent=mass_percent_of_density(solute(substance), density_20))


def of_sg(substance: str, sg: float) -> Strength:
    """Return the strength with a specific gravity 20/20 °C. Raises QuantityError, BeyondTable."""
    return of_density(substance, sg * WATER_20)


def band(strength: Strength, density_error: float = 0.0) -> tuple[float, float]:
    """Return (lowest, highest) % w/v when the density may be wrong by so many g/mL, and by its table's own
    error.

    The ends stay within the table.
    """
    of = strength.solute
    error = density_error + of.within * strength.density_20
    ends = (min(max(strength.density_20 + sign * error, of.rows[0][1]), of.rows[-1][1]) for sign in (-1, 1))
    low, high = (mass_percent_of_density(of, end) * end for end in ends)
    return low, high


def exactness(strength: Strength, *, read: bool) -> tuple[str, ...]:
    """Return sentences on how exact a strength is; `read` says that it was read from a hydrometer."""
    of = strength.solute
    low, high = band(strength, READ_TO if read else 0.0)
    says = []
    if read:
        says.append(f"read to {READ_TO:g} g/mL, it lies between {low:.2f} and {high:.2f} % w/v")
    if of.shrinks == "iron":
        says.append("iron: its density is known within 1 % only")
        if not read:
            says.append(f"a hydrometer would tell it between {low:.2f} and {high:.2f} % w/v")
        if not correction_known(of, strength.density_20):
            crystals = IRON_CORRECTED / of.factor
            says.append(
                f"above {crystals:.0f} mass % ({IRON_CORRECTED:g} without their water) no reading is "
                "corrected for temperature"
            )
    return tuple(says)


def _positive(what: str, value: float) -> None:
    if not 0 < value < float("inf"):
        raise QuantityError(f"the {what} is {value:g}: it must be more than 0")
