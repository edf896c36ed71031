"""Per cent by mass and by volume, parts, drops, gills and grains to the ounce."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import QuantityError
from darkroom.process.text import measures, shares


@pytest.mark.parametrize(
    ("text", "percent"),
    [
        ("8.4 % w/w", 8.4), ("8.4% w/w", 8.4), ("8.4 % (w/w)", 8.4), ("8.4 per cent by weight", 8.4),
        ("8.4 % by mass", 8.4), ("8.4 mass %", 8.4), ("8.4 % m/m", 8.4), ("100 % W/W", 100), ("½ % w/w", 0.5),
    ],
)  # fmt: skip
def test_per_cent_by_mass(text: str, percent: float) -> None:
    """Grams in 100 g, in every usual spelling."""
    assert percent == pytest.approx(measures.mass_percent(text))


@pytest.mark.parametrize(
    ("text", "percent"),
    [("95 % v/v", 95), ("95% by volume", 95), ("95 vol %", 95), ("95 % vol", 95), ("95 vol. %", 95),
    ("70 % ABV", 70)],
)  # fmt: skip
def test_per_cent_by_volume(text: str, percent: float) -> None:
    """mL in 100 mL, as spirit is sold."""
    assert percent == pytest.approx(measures.volume_percent(text))


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("1 + 9", 1 / 10), ("1+9", 1 / 10), ("1 in 10", 1 / 10), ("1 part in 10 parts", 1 / 10),
        ("2 + 3", 2 / 5),
        ("1 part + 4 parts", 1 / 5), ("1 in 12", 1 / 12), ("1/2 + 1/2", 1 / 2), ("1 IN 5", 1 / 5),
        ("1 in 1", 1),
    ],
)  # fmt: skip
def test_parts(text: str, share: float) -> None:
    """One and nine more, or one in ten of the whole: the stock's part of the whole."""
    assert share == pytest.approx(measures.dilution(text))


# A drop of 0.05 mL: common practice, no source. A gill is 4 US or 5 imperial fluid ounces (from memory).
@pytest.mark.parametrize(
    ("text", "millilitres", "took"),
    [
        ("1 drop", 0.05, "drop of about 0.05 mL, its size varies"),
        ("6 drops", 0.3, "drop of about 0.05 mL, its size varies"), ("1/2 US gill", 59.147, "US gill"),
        ("1 imperial gill", 142.065, "imperial gill"), ("2 imp. gills", 284.131, "imperial gill"),
    ],
)  # fmt: skip
def test_drops_and_gills(text: str, millilitres: float, took: str) -> None:
    """A drop is about 0.05 mL, and that it varies is said; a gill is of the US or imperial."""
    found = measures.read(text, "volume")
    assert (pytest.approx(millilitres, abs=1e-3), took) == (found.value, found.took)


@pytest.mark.parametrize(
    ("text", "grams_per_litre"),
    [
        ("40 grains to the US ounce", 87.644), ("40 gr/US fl oz", 87.644),
        ("40 grains to the US fluid ounce", 87.644),
        ("40 grains per imperial ounce", 91.224), ("40 gr to an imperial oz", 91.224),
        ("9 g in 100 mL", 90), ("90 g to the litre", 90), ("9 g per 100 mL", 90), ("9 % w/v", 90),
        ("9 % m/v", 90),
        ("9%", 90),
    ],
)  # fmt: skip
def test_grains_to_the_ounce_and_grams_to_the_litre(text: str, grams_per_litre: float) -> None:
    """What is dissolved in how much, in words or with a stroke."""
    assert grams_per_litre == pytest.approx(measures.concentration(text), abs=1e-3)


def test_an_ounce_of_grains_that_is_open_is_asked_for() -> None:
    """Grains to the ounce without saying which ounce are refused with the question, or taken and named."""
    with pytest.raises(QuantityError, match="leaves open which fluid ounce"):
        measures.concentration("40 grains to the ounce")
    found = measures.read("40 grains to the ounce", "concentration", fluid="US")
    assert (pytest.approx(87.644, abs=1e-3), found.took) == (
        found.value,
        "grain of 0.0648 g; US fluid ounce",
    )
    with pytest.raises(QuantityError, match="leaves open which gill"):
        measures.volume("1 gill")


@pytest.mark.parametrize(
    ("kind", "text", "phrase"),
    [
        ("mass per cent", "8.4 %", "leaves open of what: .*write '% w/w'"),
        ("mass per cent", "8.4 % v/v", "by volume"),
        ("volume per cent", "95 %", "leaves open of what: .*write '% v/v'"),
        ("volume per cent", "101 % v/v", "out of range"), ("volume per cent", "0 % v/v", "out of range"),
        ("mass per cent", "-1 % w/w", "is negative"), ("mass per cent", "8.4", "cannot be read"),
        ("mass per cent", "8.4 g", "cannot be read"), ("mass per cent", "8 % w/x", "cannot be read"),
        ("concentration", "8.4 % w/w", "is per cent by mass"),
        ("concentration", "95 % v/v", "is per cent by volume"),
        ("concentration", "40 grains to the ounce of water", "not of solution"),
        ("concentration", "9 g in", "cannot be read"),
        ("dilution", "1:9", "leaves open whether"), ("dilution", "1 to 9", "leaves open whether"),
        ("dilution", "1/10", "cannot be read"), ("dilution", "1 in", "cannot be read"),
        ("dilution", "1 + 0", "absurd"), ("dilution", "0 + 9", "absurd"), ("dilution", "2 in 1", "absurd"),
        ("dilution", "1 + 9 mL", "cannot be read"), ("dilution", "1 + 999999", "absurd"),
        ("dilution", "-1 + 9", "is negative"), ("dilution", "1 into 9", "cannot be read"),
        ("volume", "20 min", r"is minutes.*did you mean 'minim'"), ("volume", "20 US min", "is minutes"),
        ("volume", "3 droops", "did you mean 'drop'"), ("mass", "1 gill", "not known here"),
    ],
)  # fmt: skip
def test_what_is_open_or_wrong_is_refused(kind: measures.Kind, text: str, phrase: str) -> None:
    """A share of another kind, an open one and one that cannot be are refused, each with its reason."""
    with pytest.raises(QuantityError, match=phrase):
        measures.read(text, kind)


FLUIDS: tuple[measures.Fluid | None, ...] = (None, "US")
KINDS: list[measures.Kind] = [
    "volume", "mass", "length", "flow", "concentration", "mass per cent", "volume per cent", "dilution",
]  # fmt: skip
PIECES = st.sampled_from([
    "1", "9", "20", "1/2", "½", "0", "-", "+", "in", "to", "the", "per", "of", "water", ":", "/", "%",
    "w/w", "v/v",
    "w/v", "by", "mass", "volume", "part", "parts", "drops", "min", "minims", "gill", "US", "imp", "fl",
    "oz", "gr",
    "grains", "ounce", "g", "mL", "L", "1e9", "nan", ".", ",", "(", ")", "\u00a0", "999999999999", "°", "م",
    "\x00",
])  # fmt: skip


@given(st.lists(PIECES, max_size=9), st.sampled_from(["", " "]), st.sampled_from(KINDS))
def test_no_words_break_the_reader(pieces: list[str], between: str, kind: measures.Kind) -> None:
    """Whatever words of measures stand together: a finite quantity above nothing, or an error in one line."""
    text = between.join(pieces)
    for fluid in FLUIDS:
        try:
            value = measures.read(text, kind, fluid=fluid, solid="avoirdupois").value
        except QuantityError as error:
            assert str(error).isprintable()
        else:
            assert 0 < value < math.inf


@given(st.text(max_size=30), st.sampled_from(KINDS))
def test_no_text_breaks_the_reader(text: str, kind: measures.Kind) -> None:
    """Any text at all is a quantity or a QuantityError."""
    try:
        assert 0 < measures.read(text, kind).value < math.inf
    except QuantityError as error:
        assert str(error).isprintable()


def test_each_kind_of_share_has_its_expectation() -> None:
    """What is expected stands in every error of a share."""
    for kind in shares.EXPECTED:
        with pytest.raises(QuantityError, match="expected"):
            measures.read("soon", kind)  # type: ignore[arg-type]
