"""Ounces, grains and drachms against their definitions and a units library."""

from __future__ import annotations

import pint
import pytest

from darkroom.process.text import measures, unit_sizes

# Exact definitions: the international avoirdupois pound of 0.45359237 kg (1959) is 7000 grains; the US gallon
# is 231 cubic inches; the imperial gallon is 4.54609 L (UK Weights and Measures Act 1985). From memory.
GRAIN = 453.59237 / 7000
US_OUNCE = 231 * 2.54**3 / 128
IMPERIAL_OUNCE = 4546.09 / 160


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        ("mass", "1 gr", GRAIN), ("mass", "1 av oz", 437.5 * GRAIN), ("mass", "1 troy oz", 480 * GRAIN),
        ("mass", "1 apothecaries ounce", 480 * GRAIN), ("mass", "1 drachm", 60 * GRAIN),
        ("mass", "1 scruple", 20 * GRAIN),
        ("mass", "1 lb", 7000 * GRAIN), ("mass", "1 avoirdupois dram", 437.5 / 16 * GRAIN),
        ("volume", "1 US fl oz", US_OUNCE), ("volume", "1 imperial fluid ounce", IMPERIAL_OUNCE),
        ("volume", "1 US pint", 16 * US_OUNCE), ("volume", "1 imp. pint", 20 * IMPERIAL_OUNCE),
        ("volume", "1 US fl. drachm", US_OUNCE / 8), ("volume", "1 imp fl dr", IMPERIAL_OUNCE / 8),
        ("volume", "60 US minims", US_OUNCE / 8), ("volume", "60 imp minims", IMPERIAL_OUNCE / 8),
        ("volume", "1 US quart", 32 * US_OUNCE), ("volume", "1 imperial gallon", 4546.09),
        ("length", "8 in", 203.2), ('length', '6 1/2"', 165.1), ("length", "1 ft", 304.8),
    ],
)  # fmt: skip
def test_old_measures_have_their_defined_size(kind: measures.Kind, text: str, value: float) -> None:
    """Every old unit has the size its definition gives it."""
    assert value == pytest.approx(measures.read(text, kind).value, rel=1e-6)


def test_metric_factors_agree_with_a_units_library() -> None:
    """Our own table of metric units says what pint says of the same units."""
    registry = pint.UnitRegistry()
    for kind, table, to in (
        ("volume", unit_sizes.VOLUMES, "milliliter"),
        ("mass", unit_sizes.MASSES, "gram"),
        ("length", unit_sizes.LENGTHS, "millimeter"),
    ):
        names = {
            "ml": "milliliter", "cl": "centiliter", "dl": "deciliter", "l": "liter", "cc": "centimeter**3",
            "g": "gram", "mg": "milligram", "kg": "kilogram", "mm": "millimeter", "cm": "centimeter",
            "m": "meter",
        }  # fmt: skip
        checked = [word for word in table if word in names]
        assert len(checked) >= 3, kind
        for word in checked:
            assert registry.Quantity(1, names[word]).to(to).magnitude == pytest.approx(table[word]), word


# Strengths of the silver bath as printed, and in g/L of each ounce. Archer's Manual (1852), Rodger (1850s),
# Schriever (1908) and the Dictionary of Photography give the grains; the conversion is the definitions above.
@pytest.mark.parametrize(
    ("grains", "us", "imperial"),
    [(15, 32.87, 34.21), (30, 65.73, 68.42), (40, 87.64, 91.22), (50, 109.56, 114.03)],
)
def test_grains_to_the_ounce_as_the_old_books_print_them(grains: int, us: float, imperial: float) -> None:
    """Grains to the ounce become g/L by the ounce one says: 4 % apart."""
    assert us == pytest.approx(measures.concentration(f"{grains} gr/oz", fluid="US"), abs=0.01)
    assert imperial == pytest.approx(measures.concentration(f"{grains} gr/oz", fluid="imperial"), abs=0.01)


def test_printed_developers_in_grams_to_the_litre() -> None:
    """Two printed iron developers (E. M. Estabrooke, 1880s) come to the strengths computed by hand."""
    ferrotype = measures.mass("4 av oz") / measures.volume("64 US fl oz") * 1000
    assert ferrotype == pytest.approx(59.9, abs=0.05)
    assert measures.concentration("20 gr/US fl oz") == pytest.approx(43.8, abs=0.05)
    assert measures.concentration("20 gr/imp fl oz") == pytest.approx(45.6, abs=0.05)


def test_old_units_of_ours_agree_with_a_units_library() -> None:
    """The factors that stand here by their definition are those of pint, under its own names."""
    registry = pint.UnitRegistry()
    for kind, names, to in (
        (
            "volume",
            {"us floz": "fluid_ounce", "imp floz": "imperial_fluid_ounce", "us pint": "pint",
             "imp pint": "imperial_pint", "us fldr": "fluid_dram", "imp fldr": "imperial_fluid_drachm",
             "us minim": "minim", "imp minim": "imperial_minim"},
            "milliliter",
        ),
        (
            "mass",
            {"gr": "grain", "grain": "grain", "av oz": "ounce", "ap oz": "apothecary_ounce",
             "troy oz": "apothecary_ounce", "ap dr": "apothecary_dram", "drachm": "apothecary_dram"},
            "gram",
        ),
    ):  # fmt: skip
        for word, name in names.items():
            expected = registry.Quantity(1, name).to(to).magnitude
            assert measures.read(f"1 {word}", kind).value == pytest.approx(expected, rel=1e-9), word
