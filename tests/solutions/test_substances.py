"""The table of substances: what they weigh, what they use, what must not meet."""

from __future__ import annotations

import pytest
from molmass import Formula

from darkroom.errors import NothingFound
from darkroom.solutions.dangers import dangers
from darkroom.solutions.density import SOLUTES
from darkroom.solutions.substances import (
    SHEET_FIRST,
    SUBSTANCES,
    anhydrous_factor,
    cautions,
    known_as,
    silver_nitrate_used,
    substance,
)

WATER = 2 * 1.008 + 15.999  # IUPAC's abridged standard atomic weights of H and O
WEIGHED = sorted(name for name, known in SUBSTANCES.items() if known.molar_mass is not None)


@pytest.mark.parametrize("name", WEIGHED)
def test_molar_masses_are_those_of_another_library(name: str) -> None:
    """Each molar mass is that of `molmass` for its formula, and with its water of crystals added by hand."""
    known = SUBSTANCES[name]
    salt, _, water = known.formula.partition("·")
    expected = Formula(salt).mass + (int(water.removesuffix("H2O")) * WATER if water else 0)
    assert expected == pytest.approx(known.molar_mass, abs=0.012)
    assert expected == pytest.approx(Formula(known.formula.replace("·", ".")).mass, abs=0.003)


# The salt and its water of crystals, counted by hand: 158.11 of 248.18 g; 151.91 of 278.01; 272.22 of 344.28.
@pytest.mark.parametrize(
    ("name", "factor"),
    [("hypo", 0.63706), ("ferrous-sulphate", 0.54640), ("cadmium-bromide", 0.7907), ("washing-soda", 0.3704),
     ("silver-nitrate", 1.0)],
)  # fmt: skip
def test_what_a_hydrate_holds(name: str, factor: float) -> None:
    """A gram of crystals holds so much of the salt."""
    assert factor == pytest.approx(anhydrous_factor(SUBSTANCES[name]), abs=6e-5)


# 169.873 over the molar mass of the halide, once for each halide ion: by hand.
@pytest.mark.parametrize(
    ("name", "grams"),
    [
        ("sodium-chloride", 2.9066), ("potassium-iodide", 1.0233), ("cadmium-bromide-anhydrous", 1.2480),
        ("ammonium-iodide", 1.1720),
    ],
)  # fmt: skip
def test_silver_nitrate_that_a_halide_takes(name: str, grams: float) -> None:
    """A gram of a salt takes so much silver nitrate; a cadmium salt takes it twice."""
    assert grams == pytest.approx(silver_nitrate_used(SUBSTANCES[name]), abs=3e-4)
    assert silver_nitrate_used(SUBSTANCES["hypo"]) is None


def test_names_lead_to_one_substance() -> None:
    """No name is that of two substances; a wrong one brings the nearest, and old names are known."""
    called = [
        word
        for known in SUBSTANCES.values()
        for word in {known.name.replace("-", " "), known.label.lower(), *known.aliases}
    ]
    assert len(called) == len(set(called))
    assert substance("Green  Vitriol").name == "ferrous-sulphate"
    assert substance("sodium thiosulfate").name == "hypo"
    assert known_as("stardust") is None
    with pytest.raises(NothingFound, match="did you mean 'silver nitrate'"):
        substance("silver nitrade")
    assert len(SUBSTANCES) >= 25
    assert set(SOLUTES) <= set(SUBSTANCES)
    for known in SUBSTANCES.values():
        assert known.anhydrous is None or known.anhydrous in SUBSTANCES


# The pairs are common practice of laboratories, from memory.
@pytest.mark.parametrize(
    ("first", "second", "phrase"),
    [
        ("potassium-cyanide", "acetic-acid", "kills"), ("acid", "cyanide", "kills"),
        ("silver nitrate", "ammonia", "explodes"), ("silver-chloride", "liquor ammoniae", "explodes"),
        ("ether", "flame", "creeps"), ("collodion", "flame", "creeps"), ("varnish", "flame", "hot plate"),
        ("nitric acid", "sodium bicarbonate", "within a day"), ("nitric acid", "ammonia", "within a day"),
        ("nitric acid", "alcohol", "explode"), ("hypo", "acid", "sulphur dioxide"),
        ("iodine", "ammonia", "explodes"), ("cyanide", "silver-nitrate", "never together"),
    ],
)  # fmt: skip
def test_what_must_not_meet(first: str, second: str, phrase: str) -> None:
    """Two things that harm each other or people are warned of, in either order."""
    said = dangers(first, second)
    assert said is not None and phrase in said
    assert said == dangers(second, first)


def test_what_may_meet_is_not_warned_of() -> None:
    """A warning that is always there is read by nobody."""
    harmless = {
        "silver nitrate": "potassium iodide",
        "ferrous sulphate": "acetic acid",
        "ether": "alcohol",
        "stardust": "flame",
        "hypo": "silver nitrate",
    }
    for first, second in harmless.items():
        assert dangers(first, second) is None


def test_cautions_begin_with_the_suppliers_sheet() -> None:
    """What hurts says how, behind the supplier's sheet; what does not says nothing."""
    for name in (
        "silver-nitrate",
        "potassium-cyanide",
        "ether",
        "cadmium-iodide",
        "nitric-acid",
        "sandarac-varnish",
    ):
        said = cautions(name)
        assert said[0] == SHEET_FIRST and len(said) > 1
    assert "cancer" in " ".join(cautions("cadmium bromide"))
    assert "goggles" in " ".join(cautions("silver nitrate"))
    assert "trained" in cautions("cyanide")[1]
    assert cautions("silver iodide") == () == cautions("stardust")
