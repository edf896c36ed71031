"""Density against mass per cent at 20 °C, both ways, and how it changes with temperature. Pure.

Densities are in g/mL, mass per cent is of the named substance: crystals where it has its water of crystals.
The tables stand in `density_tables.py`; beyond them nothing is told.
"""

from __future__ import annotations

from functools import cache
from math import exp
from typing import NamedTuple

from darkroom.errors import BeyondTable, NothingFound, nearest
from darkroom.process.monotone import MonotoneCurve, where
from darkroom.solutions import density_tables as tables
from darkroom.solutions.substances import SUBSTANCES, Substance, anhydrous_factor
from darkroom.solutions.water import WATER_20, water_density

IRON_CORRECTED = 8.0
"""Mass per cent of ferrous sulphate without its water up to which a reading is corrected for temperature:
above, the published correlation lets the density rise with temperature, which it does not."""


class Solute(NamedTuple):
    """A substance whose solutions are known by their density.

    `rows` are (mass per cent without water of crystals, g/mL). `within` is the part of the density by which a
    table may be wrong; `source` where it is from; `shrinks` how its solutions change with temperature: as
    `water`, by the `correlation`, or as `iron`, which is as water in weak solutions and not known in strong
    ones.
    """

    name: str
    rows: tables.Rows
    source: str
    within: float
    shrinks: str

    @property
    def substance(self) -> Substance:
        """What it is."""
        return SUBSTANCES[self.name]

    @property
    def factor(self) -> float:
        """Grams without water of crystals in a gram of it."""
        return anhydrous_factor(self.substance)

    @property
    def most(self) -> float:
        """The mass per cent at which its table ends."""
        return self.rows[-1][0] / self.factor


_CRC_WITHIN = 0.0001
"""What the curve misses between the CRC's rows, as a part of the density (tried on rows left out)."""
_LISTED = (
    Solute(
        name="silver-nitrate",
        rows=tables.SILVER_NITRATE,
        source=tables.CRC,
        within=_CRC_WITHIN,
        shrinks="water",
    ),
    Solute(
        name="hypo",
        rows=tables.SODIUM_THIOSULPHATE,
        source=tables.CRC,
        within=_CRC_WITHIN,
        shrinks="correlation",
    ),
    Solute(
        name="hypo-anhydrous",
        rows=tables.SODIUM_THIOSULPHATE,
        source=tables.CRC,
        within=_CRC_WITHIN,
        shrinks="correlation",
    ),
    Solute(
        name="ferrous-sulphate",
        rows=tables.FERROUS_SULPHATE,
        source=tables.LALIBERTE_COOPER,
        within=0.01,
        shrinks="iron",
    ),
)
SOLUTES: dict[str, Solute] = {solute.name: solute for solute in _LISTED}
"""{name of a substance: its solutions}."""


def solute(name: str) -> Solute:
    """Return the solutions of a substance by its name. Raises NothingFound with the nearest right name."""
    found = SOLUTES.get(name)
    if found is None:
        near = nearest(name, SOLUTES)
        hint = f"did you mean '{near}'?" if near else f"there are {', '.join(SOLUTES)}"
        raise NothingFound(f"no density table of '{name}' ({hint})")
    return found


@cache
def _curve(name: str) -> MonotoneCurve:
    rows = SOLUTES[name].rows
    return MonotoneCurve([row[0] for row in rows], [row[1] for row in rows])


def density(of: Solute, mass_percent: float) -> float:
    """Return g/mL at 20 °C for a mass per cent. Raises BeyondTable."""
    if not 0 <= mass_percent <= of.most * (1 + 1e-12):
        raise BeyondTable(
            f"{mass_percent:.4g} mass % is beyond the table of {of.substance.label}, which goes from 0 to "
            f"{of.most:.4g} mass %"
        )
    return _curve(of.name)(min(mass_percent * of.factor, of.rows[-1][0]))


def mass_percent_of_density(of: Solute, density_20: float) -> float:
    """Return the mass per cent with a density at 20 °C in g/mL. Raises BeyondTable."""
    least, most = of.rows[0][1], of.rows[-1][1]
    if not density_20 >= least:
        raise BeyondTable(
            f"{density_20:.4f} g/mL at 20 °C is lighter than water ({least:.4f}): alcohol in it, a slip, or "
            "another hydrometer's scale"
        )
    if density_20 > most:
        raise BeyondTable(
            f"{density_20:.4f} g/mL at 20 °C is beyond the table of {of.substance.label}, which ends at "
            f"{most:.4f} g/mL"
        )
    return where(_curve(of.name), density_20, 0.0, of.rows[-1][0]) / of.factor


def mass_percent_of_percent(of: Solute, percent_wv: float) -> float:
    """Return the mass per cent of a solution with so many grams in 100 mL at 20 °C. Raises BeyondTable."""
    most = of.most * of.rows[-1][1]
    if not 0 <= percent_wv <= most * (1 + 1e-12):
        raise BeyondTable(
            f"{percent_wv:.4g} % w/v is beyond the table of {of.substance.label}, which goes from 0 to "
            f"{most:.4g} % w/v"
        )
    return where(lambda mass_percent: mass_percent * density(of, mass_percent), percent_wv, 0.0, of.most)


def at_20(of: Solute, density_then: float, celsius: float) -> float:
    """Return g/mL at 20 °C of a solution that has `density_then` g/mL at another temperature.

    Dilute solutions shrink as water does. Hypo has the correlation's own change, which depends on how much is
    dissolved; strong iron has none (`correction_known`). Raises BeyondTable.
    """
    as_water = density_then * WATER_20 / water_density(celsius)
    if of.shrinks == "correlation":
        return _at_20_by_correlation(of, density_then, celsius)
    if of.shrinks == "iron" and not _weak_iron(of, as_water):
        return density_then
    return as_water


def correction_known(of: Solute, density_20: float) -> bool:
    """Return whether readings of such a solution are corrected for temperature."""
    return of.shrinks != "iron" or _weak_iron(of, density_20)


def _weak_iron(of: Solute, density_20: float) -> bool:
    return density_20 <= _curve(of.name)(IRON_CORRECTED)


def _at_20_by_correlation(of: Solute, density_then: float, celsius: float) -> float:
    """Return the density at 20 °C of the solution of the table whose density at a temperature was found."""

    def then(anhydrous: float) -> float:
        part = anhydrous / 100
        return (
            _curve(of.name)(anhydrous) * thiosulphate_density(part, celsius) / thiosulphate_density(part, 20)
        )

    most = of.rows[-1][0]
    if not then(0.0) <= density_then <= then(most):  # beyond the table, where its end is as good as any
        end = 0.0 if density_then < then(0.0) else most
        return density_then * _curve(of.name)(end) / then(end)
    return _curve(of.name)(where(then, density_then, 0.0, most))


def thiosulphate_density(part: float, celsius: float) -> float:
    """Return g/mL of sodium thiosulphate in water by Laliberté and Cooper.

    `part` is the part by mass without water of crystals, 0 to 0.6. Below 25 °C the fit is drawn on. Raises
    BeyondTable outside 0 to 40 °C, where the density of water is not known here.
    """
    c0, c1, c2, c3, c4 = tables.THIOSULPHATE_COEFFICIENTS
    apparent = (c0 * part + c1) * exp(1e-6 * (celsius + c4) ** 2) / (part + c2 + c3 * celsius) / 1000
    return 1 / ((1 - part) / water_density(celsius) + part / apparent)
