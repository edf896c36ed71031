"""Strengths said one way and told in every other."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import BeyondTable, DarkroomError, NothingFound, QuantityError
from darkroom.solutions import density, hydrometer, strength
from darkroom.solutions.strength import Strength

NAMES = st.sampled_from(sorted(density.SOLUTES))
Way = tuple[Callable[[str, float], Strength], Callable[[Strength], float]]
WAYS: dict[str, Way] = {
    "mass per cent": (strength.of_mass_percent, lambda found: found.mass_percent),
    "per cent": (strength.of_percent_wv, lambda found: found.percent_wv),
    "g/L": (strength.of_grams_per_litre, lambda found: found.grams_per_litre),
    "mol/L": (strength.of_mol_per_litre, lambda found: found.mol_per_litre),
    "density": (strength.of_density, lambda found: found.density_20),
    "SG": (strength.of_sg, lambda found: found.sg),
    "US grains": (lambda name, x: strength.of_grains(name, x, "US"), lambda found: found.grains("US")),
    "imperial grains of water": (
        lambda name, x: strength.of_grains(name, x, "imperial", of_water=True),
        lambda found: found.grains("imperial", of_water=True),
    ),
}


@pytest.mark.parametrize("way", sorted(WAYS))
@given(name=NAMES, part=st.floats(0.001, 1))
def test_every_way_to_say_a_strength_leads_back(way: str, name: str, part: float) -> None:
    """A strength that is told and read again is the same within 1e-9, up to the end of its table."""
    make, tell = WAYS[way]
    known = strength.of_mass_percent(name, part * density.solute(name).most)
    again = make(name, tell(known))
    assert known.mass_percent == pytest.approx(again.mass_percent, rel=1e-9, abs=1e-9)
    assert tell(known) == pytest.approx(tell(again), rel=1e-9)


@pytest.mark.parametrize("way", sorted(WAYS))
@given(name=NAMES, value=st.floats(allow_nan=True, allow_infinity=True))
def test_any_number_is_a_strength_or_one_clear_line(way: str, name: str, value: float) -> None:
    """No number leads to anything but a strength within the table or an error of ours."""
    try:
        found = WAYS[way][0](name, value)
    except DarkroomError as error:
        assert isinstance(error, QuantityError | BeyondTable)
        assert str(error).isprintable()
    else:
        assert 0 <= found.mass_percent <= density.solute(name).most * (1 + 1e-9)


def test_more_is_heavier() -> None:
    """Over each whole table density rises with mass per cent."""
    for of in density.SOLUTES.values():
        tried = [density.density(of, of.most * step / 500) for step in range(501)]
        assert tried == sorted(set(tried))


@pytest.mark.parametrize(
    ("say", "phrase"),
    [
        (lambda: strength.of_mass_percent("silver-nitrate", 41), "beyond the table of silver nitrate"),
        (lambda: strength.of_percent_wv("silver-nitrate", 60), "goes from 0 to 58.97 % w/v"),
        (lambda: strength.of_density("silver-nitrate", 1.5), "ends at 1.4743"),
        (lambda: strength.of_density("silver-nitrate", 0.99), "lighter than water"),
        (lambda: strength.of_density("hypo", math.nan), "must be more than 0"),
        (lambda: strength.of_percent_wv("hypo", 0), "must be more than 0"),
        (lambda: strength.of_percent_wv("hypo", -3), "must be more than 0"),
    ],
)
def test_what_no_table_tells_is_refused(say: Callable[[], Strength], phrase: str) -> None:
    """Beyond its table, and below nothing, a strength is refused in one line that says the limit."""
    with pytest.raises((BeyondTable, QuantityError), match=phrase):
        say()


def test_a_substance_without_a_table_brings_the_nearest_name() -> None:
    """A name that is nearly right is asked about."""
    with pytest.raises(NothingFound, match="did you mean 'silver-nitrate'"):
        strength.of_percent_wv("silver-nitrat", 9)


def test_iron_says_how_little_its_density_tells() -> None:
    """Iron is known within 1 %; above 8 % without its water no reading is corrected, and that is said."""
    weak, strong = (strength.of_percent_wv("ferrous-sulphate", percent) for percent in (4.5, 30))
    assert any("within 1 %" in sentence for sentence in strength.exactness(weak, read=True))
    assert not any("corrected" in sentence for sentence in strength.exactness(weak, read=True))
    assert any(
        "above 15 mass % (8 without their water)" in sentence
        for sentence in strength.exactness(strong, read=True)
    )
    of = strong.solute
    assert density.at_20(of, strong.density_20, 30) == strong.density_20
    assert density.at_20(of, weak.density_20, 30) > weak.density_20


def test_the_band_of_a_reading() -> None:
    """0.001 of density is 0.12 % w/v of a silver bath (0.0082 a per cent); iron's is 1 % of the density."""
    low, high = strength.band(strength.of_percent_wv("silver-nitrate", 9), 0.001)
    assert (high - low) / 2 == pytest.approx(0.135, abs=0.005)
    low, high = strength.band(strength.of_percent_wv("ferrous-sulphate", 5))
    assert low < 5 - 1.5 and high > 5 + 1.5
    low, high = strength.band(strength.of_percent_wv("silver-nitrate", 0.01), 0.01)
    assert low == 0


def test_a_hydrometer_marked_for_another_temperature() -> None:
    """The same reading in cold liquid means less dissolved; marks for 60 °F shift it a ten-thousandth."""
    of, on = density.solute("silver-nitrate"), hydrometer.scale("density")
    plain = hydrometer.read_hydrometer(of, 1.07, on)
    cold = hydrometer.read_hydrometer(of, 1.07, on, 10.0)
    old = hydrometer.read_hydrometer(of, 1.07, on, 20.0, 60 / 1.8 - 32 / 1.8)
    assert plain.density_20 == 1.07
    assert cold.density_20 < plain.density_20
    assert old.density_20 == pytest.approx(1.07 * (1 - 25e-6 * 4.444), abs=1e-6)
    assert any("no temperature was given" in sentence for sentence in plain.took)
    assert "marked for 15.6 °C" in old.took[0]


def test_a_silver_hydrometer_reads_grains() -> None:
    """40 on a silver hydrometer is 40 grains to its ounce, and the ounce must be said."""
    of = density.solute("silver-nitrate")
    for name, ounce in (("silver-us", "US"), ("silver-imperial", "imperial")):
        found = hydrometer.read_hydrometer(of, 40, hydrometer.scale(name))
        again = strength.of_density("silver-nitrate", found.density_20)
        assert again.grains(ounce) == pytest.approx(40, rel=1e-9)  # type: ignore[arg-type]
    with pytest.raises(QuantityError, match="did you mean 'silver-us'"):
        hydrometer.scale("silver-uk")


@pytest.mark.parametrize(
    ("reading", "name", "celsius", "error"),
    [
        (0, "density", 20, QuantityError), (-1.07, "density", 20, QuantityError),
        (9, "sg", 20, QuantityError),
        (math.nan, "baume", 20, QuantityError), (1.07, "density", 60, BeyondTable),
        (1.07, "density", -5, BeyondTable), (1.07, "density", math.nan, BeyondTable),
        (400, "silver-us", 20, BeyondTable), (145, "baume", 20, QuantityError),
    ],
)  # fmt: skip
def test_what_no_hydrometer_says(
    reading: float, name: str, celsius: float, error: type[DarkroomError]
) -> None:
    """A reading or a temperature that cannot be is refused."""
    with pytest.raises(error):
        hydrometer.read_hydrometer(density.solute("silver-nitrate"), reading, hydrometer.scale(name), celsius)
