"""Amounts of recipes: a mass or a volume, an area, a time in days."""

from __future__ import annotations

import pytest

from darkroom.errors import QuantityError
from darkroom.process.text.amounts import amount, area, is_metric, span


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("90 g", 90.0, "g"), ("1.5 kg", 1500.0, "g"), ("40 gr", 2.5919564, "g"),
        ("1/2 av oz", 14.174762, "g"),
        ("1 L", 1000.0, "mL"), ("2.5 cc", 2.5, "mL"), ("1 US fl oz", 29.57353, "mL"), ("6 drops", 0.3, "mL"),
        ("3 apothecaries drachms", 11.663804, "g"), ("3 US fl drachms", 11.090074, "mL"),
        ("60 imperial minims", 3.5516328, "mL"),
    ],
)  # fmt: skip
def test_an_amount_is_of_the_kind_of_its_unit(text: str, value: float, unit: str) -> None:
    """Grams or millilitres; old units by their definitions (NIST Handbook 44, appendix C, from memory)."""
    reading, kind = amount(text)
    assert (reading.value, kind) == (pytest.approx(value, rel=1e-6), unit)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing is written here"), ("90", "has no unit"), ("-1 g", "is negative"), ("0 g", "is absurd"),
        ("1 oz", "leaves open which ounce or drachm"), ("3 drachms", "leaves open which ounce or drachm"),
        ("1 fl oz", "leaves open which fluid ounce"), ("20 min", "is minutes"),
        ("9 %", "has a unit that is not known here"), ("5 cm", "has a unit that is not known here"),
        ("1 lire", "did you mean 'litre'"), ("1e3 g", "has an exponent"), ("nan g", "is not a finite number"),
    ],
)  # fmt: skip
def test_what_is_no_amount_is_told(text: str, says: str) -> None:
    """Open ounces and drachms are asked about, since a solid's and a liquid's share their names."""
    with pytest.raises(QuantityError, match=says):
        amount(text)


def test_metric_amounts_are_told_from_old_ones() -> None:
    """Grams and millilitres in any size are metric; grains, ounces and drops are not."""
    assert all(map(is_metric, ("90 g", "1 L", "2.5 mL.", "3 cc", "5 mg")))
    assert not any(map(is_metric, ("40 gr", "1 US fl oz", "6 drops", "1 av oz")))


@pytest.mark.parametrize(
    ("text", "value"),
    [("5000 cm2", 5000.0), ("1 m²", 1e4), ("100 sq in", 645.16), ("10 in2", 64.516)],
)
def test_an_area_is_read_in_square_centimetres(text: str, value: float) -> None:
    """An inch is 2.54 cm, so a square inch 6.4516 cm²."""
    assert area(text) == pytest.approx(value)


@pytest.mark.parametrize(("text", "value"), [("12 h", 43200.0), ("7 days", 604800.0), ("2 weeks", 1209600.0)])
def test_a_time_is_read_in_seconds(text: str, value: float) -> None:
    """Hours, days and weeks; a month has no length."""
    assert span(text) == value


@pytest.mark.parametrize(
    ("reader", "text", "says"),
    [
        (area, "5000", "has no unit"), (area, "5 cm", "cannot be read"), (area, "0 cm2", "is out of range"),
        (span, "7", "has no unit"), (span, "2 months", "cannot be read"),
        (span, "99999 days", "is out of range"),
        (span, "-1 d", "is out of range"),
    ],
)  # fmt: skip
def test_what_is_no_area_and_no_time_is_told(reader: object, text: str, says: str) -> None:
    """Each says what was expected."""
    assert callable(reader)
    with pytest.raises(QuantityError, match=says):
        reader(text)
