"""Densities of water and of solutions against published tables and another library."""

from __future__ import annotations

import pytest

from darkroom.process.monotone import MonotoneCurve
from darkroom.solutions import density, density_tables, hydrometer, strength
from darkroom.solutions.water import water_density


# Tanaka et al., Metrologia 38 (2001) 301, recommended table, g/mL (from memory; handbooks have 20 and 25 °C).
@pytest.mark.parametrize(
    ("celsius", "published"),
    [
        (0, 0.9998428), (4, 0.9999749), (10, 0.9997027), (15, 0.9991026), (20, 0.9982067), (25, 0.9970470),
        (30, 0.9956488), (40, 0.9922152),
    ],
)  # fmt: skip
def test_water_as_the_cipm_has_it(celsius: float, published: float) -> None:
    """The formula gives the recommended table to its last digit but one."""
    assert published == pytest.approx(water_density(celsius), abs=2e-7)


# Reckoned from the CRC's rows over % w/v instead of mass per cent, which makes up to 0.0001 g/mL.
@pytest.mark.parametrize(
    ("percent", "density_20"),
    [
        (5, 1.0400), (6, 1.0481), (7, 1.0563), (7.5, 1.0604), (8, 1.0645), (8.5, 1.0686), (9, 1.0727),
        (9.5, 1.0768), (10, 1.0809), (11, 1.0892), (12, 1.0973),
    ],
)  # fmt: skip
def test_a_silver_bath_by_its_density(percent: float, density_20: float) -> None:
    """Grams in 100 mL and g/mL stand for each other, both ways, over the strengths of a bath."""
    assert density_20 == pytest.approx(strength.of_percent_wv("silver-nitrate", percent).density_20, abs=1e-4)
    assert percent == pytest.approx(strength.of_density("silver-nitrate", density_20).percent_wv, abs=0.0125)


# International Critical Tables, silver nitrate at 20 °C (from memory).
@pytest.mark.parametrize(("mass_percent", "published"), [(10, 1.0882), (30, 1.3205)])
def test_between_the_rows_another_table_agrees(mass_percent: float, published: float) -> None:
    """Rows that our table lacks are met within 0.0003 g/mL."""
    of = density.solute("silver-nitrate")
    assert published == pytest.approx(density.density(of, mass_percent), abs=3e-4)


@pytest.mark.parametrize("rows", [density_tables.SILVER_NITRATE, density_tables.SODIUM_THIOSULPHATE])
def test_a_row_that_is_left_out_is_met(rows: density_tables.Rows) -> None:
    """Each inner row of the CRC's tables is met within 0.0005 g/mL by the curve of all the others.

    Its gap is then twice as wide as the table's own.
    """
    for left_out in rows[1:-1]:
        kept = [row for row in rows if row is not left_out]
        curve = MonotoneCurve([row[0] for row in kept], [row[1] for row in kept])
        assert left_out[1] == pytest.approx(curve(left_out[0]), abs=5e-4)


# Mass per cent times the CRC's density; crystals by 248.18 / 158.11.
@pytest.mark.parametrize(
    ("anhydrous", "crystals_mass", "crystals"),
    [
        (1, 1.57, 1.58), (5, 7.85, 8.16), (9, 14.13, 15.17), (16, 25.12, 28.54), (24, 37.67, 45.69),
        (40, 62.79, 86.82),
    ],
)  # fmt: skip
def test_hypo_is_counted_as_crystals(anhydrous: float, crystals_mass: float, crystals: float) -> None:
    """Per cent of hypo is of crystals; the anhydrous salt is a substance of its own, as dense."""
    dry = strength.of_mass_percent("hypo-anhydrous", anhydrous)
    wet = strength.of_density("hypo", dry.density_20)
    assert crystals_mass == pytest.approx(wet.mass_percent, abs=0.006)
    assert crystals == pytest.approx(wet.percent_wv, abs=0.01)
    assert dry.mol_per_litre == pytest.approx(wet.mol_per_litre, rel=1e-4)


# Laliberté and Cooper, J. Chem. Eng. Data 49 (2004) 1141, as `chemicals` 1.5.2 has their coefficients.
@pytest.mark.parametrize(
    ("part", "at_15", "at_25", "at_40"),
    [(0.1, 1.0830, 1.0802, 1.0742), (0.2, 1.1749, 1.1713, 1.1643), (0.3, 1.2752, 1.2709, 1.2628)],
)
def test_hypo_changes_with_temperature_as_the_correlation_says(
    part: float, at_15: float, at_25: float, at_40: float
) -> None:
    """The correlation's own densities are met, and a reading comes back to the table's density at 20 °C."""
    of = density.solute("hypo-anhydrous")
    at_20 = density.density(of, 100 * part)
    by_correlation = density.thiosulphate_density(part, 20)
    assert -0.0011 < by_correlation - at_20 < -0.0006
    for celsius, published in ((15, at_15), (25, at_25), (40, at_40)):
        assert published == pytest.approx(density.thiosulphate_density(part, celsius), abs=6e-5)
        assert at_20 == pytest.approx(
            density.at_20(of, at_20 * published / by_correlation, celsius), abs=1e-4
        )


# The same correlation for ferrous sulphate at 20 °C; heptahydrate by 278.01 / 151.91.
@pytest.mark.parametrize(
    ("anhydrous", "crystals_mass", "crystals"),
    [
        (1, 1.83, 1.84), (3, 5.49, 5.64), (5, 9.15, 9.59), (8, 14.64, 15.82), (12, 21.96, 24.71),
        (23, 42.09, 52.91),
    ],
)  # fmt: skip
def test_iron_is_counted_as_crystals(anhydrous: float, crystals_mass: float, crystals: float) -> None:
    """Per cent of ferrous sulphate is of the green crystals."""
    rows = dict(density_tables.FERROUS_SULPHATE)
    found = strength.of_density("ferrous-sulphate", rows[anhydrous])
    assert crystals_mass == pytest.approx(found.mass_percent, abs=0.01)
    assert crystals == pytest.approx(found.percent_wv, abs=0.01)


def test_a_suppliers_iron_lies_within_one_per_cent() -> None:
    """One part of crystals in two of water (a supplier's sheet): SG 1.19 and 24.5 °Bé lie within 1 %."""
    found = strength.of_mass_percent("ferrous-sulphate", 100 / 3)
    for published in (1.19, 145 / (145 - 24.5)):
        assert published == pytest.approx(found.sg, rel=0.01)


# Schriever and the Dictionary of Photography print grains to the ounce; the units are exact definitions.
@pytest.mark.parametrize(
    ("grains", "us", "imperial", "density_us", "density_imperial"),
    [
        (15, 3.287, 3.421, 1.0257, 1.0268), (25, 5.478, 5.702, 1.0439, 1.0457),
        (30, 6.573, 6.842, 1.0528, 1.0550),
        (40, 8.764, 9.122, 1.0707, 1.0737), (50, 10.956, 11.403, 1.0888, 1.0925),
    ],
)  # fmt: skip
def test_grains_to_the_ounce(
    grains: float, us: float, imperial: float, density_us: float, density_imperial: float
) -> None:
    """Which ounce makes 4 %: both are told, with their densities."""
    for ounce, percent, density_20 in (("US", us, density_us), ("imperial", imperial, density_imperial)):
        found = strength.of_grains("silver-nitrate", grains, ounce)  # type: ignore[arg-type]
        assert percent == pytest.approx(found.percent_wv, abs=0.0006)
        assert density_20 == pytest.approx(found.density_20, abs=1e-4)
        assert grains == pytest.approx(found.grains(ounce), rel=1e-9)  # type: ignore[arg-type]


def test_grains_to_an_ounce_of_water_are_another_strength() -> None:
    """40 grains to the US ounce: 8.76 % w/v of solution, 8.63 of water (by the CRC's density)."""
    of_solution = strength.of_grains("silver-nitrate", 40, "US")
    of_water = strength.of_grains("silver-nitrate", 40, "US", of_water=True)
    assert of_solution.percent_wv == pytest.approx(8.76, abs=0.005)
    assert of_water.percent_wv == pytest.approx(8.63, abs=0.005)
    assert of_water.grains("US", of_water=True) == pytest.approx(40, rel=1e-9)


def test_a_warm_reading_is_brought_to_20_degrees() -> None:
    """1.072 at 24 °C is 1.0729 at 20 °C by Tanaka's water and the glass's growth: 9.02 % w/v."""
    of = density.solute("silver-nitrate")
    found = hydrometer.read_hydrometer(of, 1.072, hydrometer.scale("density"), 24.0)
    assert found.density_20 == pytest.approx(1.0729, abs=5e-5)
    assert strength.of_density("silver-nitrate", found.density_20).percent_wv == pytest.approx(
        9.02, abs=0.005
    )


def test_a_bath_read_at_30_degrees_reads_a_third_of_a_per_cent_low() -> None:
    """Read uncorrected at 30 °C a bath of 9 % seems 0.3 to 0.35 % w/v weaker (water's own expansion)."""
    of = density.solute("silver-nitrate")
    true = strength.of_percent_wv("silver-nitrate", 9).density_20
    shown = true * water_density(30) / water_density(20) / (1 - 25e-6 * 10)
    uncorrected = strength.of_density("silver-nitrate", shown).percent_wv
    assert 0.29 < 9 - uncorrected < 0.36
    found = hydrometer.read_hydrometer(of, shown, hydrometer.scale("density"), 30.0)
    assert found.density_20 == pytest.approx(true, abs=1e-9)


def test_one_scale_taken_for_another() -> None:
    """1.0727 read as SG 20/20 instead of density shifts 9 % by 0.23 % w/v (0.998207 by Tanaka)."""
    of = density.solute("silver-nitrate")
    as_density, as_sg = (
        strength.of_density(
            "silver-nitrate", hydrometer.read_hydrometer(of, 1.0727, hydrometer.scale(name)).density_20
        )
        for name in ("density", "sg")
    )
    assert as_density.percent_wv - as_sg.percent_wv == pytest.approx(0.23, abs=0.01)


def test_baume_of_the_united_states() -> None:
    """SG 60/60 °F = 145/(145 - °Bé): 24.5 °Bé is SG 1.2033 (definition; a supplier prints 1.203)."""
    of = density.solute("ferrous-sulphate")
    found = hydrometer.read_hydrometer(of, 24.5, hydrometer.scale("baume"))
    weak = hydrometer.read_hydrometer(of, 5.0, hydrometer.scale("baume"))
    assert found.density_20 == pytest.approx(1.2033 * 0.999017, abs=1e-4)  # strong iron: not corrected
    assert weak.density_20 == pytest.approx(145 / 140 * 0.998207, abs=1e-5)
