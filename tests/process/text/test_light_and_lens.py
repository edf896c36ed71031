"""What is written of a lens and of light is read as a photographer means it, and nothing is guessed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from darkroom.errors import QuantityError
from darkroom.process.scene import LIGHT_KINDS
from darkroom.process.text import lens_words, light_words


@pytest.mark.parametrize(
    ("aperture", "number"),
    [("f/5.6", "5.6"), ("f5,6", "5.6"), ("F 8", "8"), ("f:11", "11"), ("ƒ/4", "4"), ("f/0", None),
     ("U.S. 16", None), ("third stop", None), ("half 8", None), ("16", None), ("", None), (None, None)],
)  # fmt: skip
def test_an_f_number_is_read_or_left_out(aperture: str | None, number: str | None) -> None:
    """Only words that say "f" are an f-number; stops of other scales are not guessed at."""
    assert lens_words.f_number(aperture) == (None if number is None else Fraction(number))


@pytest.mark.parametrize(
    ("lens", "millimetres"),
    [("Petzval type 210 mm", "210"), ("21 cm f/3.6", "210"), ("8 in", "203.2"), ('8.5" portrait', "215.9"),
     ("No. 3 in brass", None), ("8 in f/4", "203.2"), ("8 in., brass", "203.2"),
     ("12 inches", "304.8"), ("f/4", None), ("0 mm", None), (None, None)],
)  # fmt: skip
def test_a_focal_length_is_read_or_left_out(lens: str | None, millimetres: str | None) -> None:
    """Millimetres, centimetres and inches (25.4 mm, exact by definition) are read; nothing is guessed."""
    assert lens_words.focal_length(lens) == (None if millimetres is None else Fraction(millimetres))


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("8", 8.0),
        ("f/5.6", 5.6),
        ("F 11", 11.0),
        ("f:3,6", 3.6),
        (" ƒ/4 ", 4.0),
        ("US 4", 8.0),
        ("U.S. 16", 16.0),
    ],
)
def test_an_f_number_that_is_asked_for(text: str, number: float) -> None:
    """Where an f-number is asked for a bare number is one; a number of the Uniform System says so."""
    assert lens_words.aperture(text) == number


@pytest.mark.parametrize(
    "text", ["0", "f/0", "f/0.2", "600", "-8", "US 0", "16 US", "wide open", "", "nan", "1e3"]
)
def test_what_is_no_f_number_is_refused(text: str) -> None:
    """An f-number is positive and believable; the error says what one looks like."""
    with pytest.raises(QuantityError, match=r"such as f/5\.6"):
        lens_words.aperture(text)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [("10", 10.0, "ev"), ("EV 9.5", 9.5, "ev"), ("ev-2", -2.0, "ev"), ("9 1/3 EV", 9 + 1 / 3, "ev"),
     ("2560 lux", 2560.0, "lux"), ("640lx", 640.0, "lux"), ("238 foot-candles", 238.0, "foot-candles"),
     ("238 fc", 238.0, "foot-candles")],
)  # fmt: skip
def test_a_meter_s_reading(text: str, value: float, unit: str) -> None:
    """A bare number is an EV; lux and foot-candles say so."""
    assert light_words.reading(text) == (pytest.approx(value), unit)


@pytest.mark.parametrize("text", ["", "EV", "bright", "-40", "30", "0 lux", "-5 lux", "nan", "10 candles"])
def test_what_is_no_reading_is_refused(text: str) -> None:
    """The error says what a reading looks like."""
    with pytest.raises(QuantityError, match="2560 lux"):
        light_words.reading(text)


@pytest.mark.parametrize(
    ("text", "stops"),
    [("1", 1.0), ("2/3 stop", 2 / 3), ("0.5 stops", 0.5), ("×2", 1.0), ("x4", 2.0), ("2.25x", 1.169925)],
)
def test_light_lost(text: str, stops: float) -> None:
    """Light lost is said in stops, or as the factor that is printed on a filter."""
    assert light_words.stops_lost(text) == pytest.approx(stops)


@pytest.mark.parametrize("text", ["", "-1", "25", "x0.5", "×0", "yellow", "2 EV"])
def test_what_loses_no_light_is_refused(text: str) -> None:
    """A filter never gains light, and 20 stops are a lens cap."""
    with pytest.raises(QuantityError):
        light_words.stops_lost(text)


@pytest.mark.parametrize(
    ("words", "kind"),
    [("north window", "window"), ("open shade", "shade"), ("Sunlight", "sun"), ("overcast sky", "cloud"),
     ("LED panel", "led"), ("two flashes", "flash"), ("tungsten", "tungsten"), ("sun through a window", None),
     ("sunflower field", None), ("studio", None), ("", None), (None, None)],
)  # fmt: skip
def test_a_kind_of_light_in_free_words(words: str | None, kind: str | None) -> None:
    """Words that name one kind of light are of that kind; several kinds or none are not guessed at."""
    assert light_words.light_kind(words) == kind


def test_every_kind_of_light_has_its_words() -> None:
    """The words of the kinds are those of the list of kinds, and each names itself."""
    assert tuple(light_words.light_kind(kind) for kind in LIGHT_KINDS) == LIGHT_KINDS
