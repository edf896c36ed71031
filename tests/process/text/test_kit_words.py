"""What is written of a kit: stops, degrees of a place, sizes of plates."""

from __future__ import annotations

import pytest

from darkroom.errors import QuantityError
from darkroom.process.text.kit_words import as_f_number, latitude, longitude, plate_size, stop


@pytest.mark.parametrize(
    ("text", "f_number", "diameter"),
    [
        ("f/5.6", 5.6, None), ("8", 8.0, None), ("F 11", 11.0, None), ("US 4", 8.0, None),
        ("26 mm", None, 26.0), ("1 1/2 in", None, 38.1), ("2.6 cm", None, 26.0),
    ],
)  # fmt: skip
def test_a_stop_is_an_f_number_or_a_diameter(
    text: str, f_number: float | None, diameter: float | None
) -> None:
    """A bare number is an f-number, one with a unit of length a diameter in mm."""
    assert stop(text) == (f_number, pytest.approx(diameter) if diameter else None)


@pytest.mark.parametrize(
    "text", ["f/0", "0 mm", "-26 mm", "wide open", "", "26 kg", "nan", "f/5.6 mm", "US 0"]
)
def test_what_is_no_stop_is_refused(text: str) -> None:
    """Neither an f-number nor a length."""
    with pytest.raises(QuantityError):
        stop(text)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("52.1", 52.1), ("52.1 N", 52.1), ("33.9 S", -33.9), ("-33.9", -33.9), ("33.9°s", -33.9),
        ("90", 90.0), ("-90", -90.0), ("0", 0.0), ("0 S", 0.0), ("0.5 S", -0.5),
    ],
)  # fmt: skip
def test_latitudes(text: str, degrees: float) -> None:
    """North is positive, by sign or by letter; the poles are places."""
    assert latitude(text) == degrees


@pytest.mark.parametrize(
    ("text", "degrees"), [("5.1", 5.1), ("5.1 E", 5.1), ("77.6 W", -77.6), ("-180", -180.0), ("180", 180.0)]
)
def test_longitudes(text: str, degrees: float) -> None:
    """East is positive, by sign or by letter."""
    assert longitude(text) == degrees


@pytest.mark.parametrize(
    "text", ["91", "-90.1", "90.1 S", "52 E", "-33.9 S", "-0.5 N", "52 N S", "north", "", "1e2"]
)
def test_what_is_no_latitude_is_refused(text: str) -> None:
    """Beyond the poles, with a letter of the other axis, or with a sign and a letter."""
    with pytest.raises(QuantityError, match="degrees of latitude from -90 to 90"):
        latitude(text)


@pytest.mark.parametrize("text", ["181", "-180.5", "5 N", "-5 W", "5 5"])
def test_what_is_no_longitude_is_refused(text: str) -> None:
    """Once around, or with a letter of the other axis."""
    with pytest.raises(QuantityError, match="degrees of longitude from -180 to 180"):
        longitude(text)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("83 × 108 mm", (83.0, 108.0)), ("83x108mm", (83.0, 108.0)), ("8.3 cm X 108 mm", (83.0, 108.0)),
        ("3 1/4 × 4 1/4 in", (82.55, 107.95)), ('4" x 5"', (101.6, 127.0)),
    ],
)  # fmt: skip
def test_sizes_of_plates(text: str, size: tuple[float, float]) -> None:
    """A unit that stands once is of both sides."""
    assert plate_size(text) == pytest.approx(size)


@pytest.mark.parametrize(
    "text", ["83", "83 mm", "83 × 108", "83 × 108 × 2 mm", "× 108 mm", "0 × 108 mm", "quarter"]
)
def test_what_is_no_size_is_refused(text: str) -> None:
    """A size has two sides and a unit."""
    with pytest.raises(QuantityError):
        plate_size(text)


def test_a_name_that_reads_as_an_f_number() -> None:
    """A number or an f-number does, other words do not."""
    assert (as_f_number("4"), as_f_number("f/8"), as_f_number("US 4")) == (4.0, 8.0, 8.0)
    assert as_f_number("no. 4") is None
