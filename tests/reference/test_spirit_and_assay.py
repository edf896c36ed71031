"""Alcohol and water, and weighed silver chloride, against published tables."""

from __future__ import annotations

import math

import pytest

from darkroom.errors import BeyondTable, CannotMix, QuantityError
from darkroom.solutions import assay, spirit


# CRC Handbook, "Concentrative properties of aqueous solutions", ethanol at 20 °C (from memory).
@pytest.mark.parametrize(
    ("mass_percent", "published"),
    [(10, 0.9819), (20, 0.9687), (30, 0.9539), (40, 0.9352), (50, 0.9139), (60, 0.8911), (70, 0.8676),
     (80, 0.8436), (90, 0.8180), (100, 0.7893)],
)  # fmt: skip
def test_densities_of_spirit(mass_percent: float, published: float) -> None:
    """Another handbook has the same densities within 0.0003 g/mL."""
    assert published == pytest.approx(spirit.density_by_mass(mass_percent / 100), abs=3e-4)


# Gay-Lussac's table of dilution: mL of water for 100 mL of spirit, at 15 °C (from memory).
@pytest.mark.parametrize(
    ("now", "wanted", "water"),
    [
        (90, 85, 6.56), (90, 80, 13.79), (90, 75, 21.89), (90, 70, 31.05), (90, 60, 53.65), (90, 50, 84.71),
        (90, 40, 130.80), (85, 70, 23.14), (85, 50, 73.90),
    ],
)  # fmt: skip
def test_water_that_thins_a_spirit(now: float, wanted: float, water: float) -> None:
    """An old table for 15 °C has the same water within 0.2 mL or 0.5 %."""
    found = spirit.thinned(100, now, wanted)
    assert water == pytest.approx(found.water_ml, abs=0.2, rel=0.005)
    assert found.final_ml == pytest.approx(100 * now / wanted)
    assert found.shrinks_ml > 0


def test_proof_spirit_and_equal_volumes() -> None:
    """50 mL of alcohol and 50 mL of water are 96 to 97 mL (schoolbooks, from memory)."""
    of_mass = 50 * spirit.ALCOHOL_20 / (50 * spirit.ALCOHOL_20 + 50 * 0.998207)
    volume = (50 * spirit.ALCOHOL_20 + 50 * 0.998207) / spirit.density_by_mass(of_mass)
    assert 96 < volume < 97


def test_by_volume_and_back() -> None:
    """Per cent by volume and the part by mass lead into each other over the whole range."""
    for percent in (0.5, 1, 10, 33.3, 50, 70, 95, 96, 99.9, 100):
        assert percent == pytest.approx(spirit.by_volume(spirit.by_mass(percent)), rel=1e-9)


@pytest.mark.parametrize(
    ("volume", "now", "wanted"), [(0, 90, 70), (-1, 90, 70), (100, 101, 70), (100, 90, 0), (math.nan, 90, 70)]
)
def test_spirit_that_cannot_be(volume: float, now: float, wanted: float) -> None:
    """Nothing, less than nothing and more than pure are refused."""
    with pytest.raises(QuantityError):
        spirit.thinned(volume, now, wanted)


def test_water_makes_no_spirit_stronger() -> None:
    """A stronger spirit is not made of a weaker one."""
    with pytest.raises(CannotMix, match="95 % by volume is stronger than 70 %"):
        spirit.thinned(100, 70, 95)


def test_weighed_silver_chloride() -> None:
    """1 g of silver chloride is 1.1853 g of silver nitrate by IUPAC's weights; the "Photo" manual prints
    1.18.

    From half an imperial ounce, 14.2065 mL, it is 8.34 % w/v.
    """
    assert pytest.approx(169.873 / 143.321, abs=5e-5) == assay.FACTOR
    assert assay.silver_by_chloride(1, 14.2065).percent_wv == pytest.approx(8.34, abs=0.005)
    assert assay.silver_by_chloride(1, 14.2065, assay.BOOK_FACTOR).percent_wv == pytest.approx(
        8.306, abs=0.005
    )


def test_an_assay_that_cannot_be() -> None:
    """No chloride, no sample, or more silver than water takes up is refused."""
    for grams, sample in ((0, 10), (1, 0), (-1, 10), (math.nan, 10)):
        with pytest.raises(QuantityError):
            assay.silver_by_chloride(grams, sample)
    with pytest.raises(BeyondTable):
        assay.silver_by_chloride(100, 10)
