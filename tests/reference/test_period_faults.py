"""The shipped faults against the books: the causes that they name, and the figures at which they turn.

Books as in the rows: Schriever, Library of Practical Photography (1908), by paragraph; Hardwich as quoted in
Wilson's Photographics (1881) par. 177; Estabrooke, Photography in the Studio and in the Field (1880s);
Hasluck, The Book of Photography (1905); Cassell's Cyclopaedia of Photography (1911); Archer, The Collodion
Process on Glass (1854); Hunt, Manual of Photography (1850s); Rodger (1850s); Workshop Receipts (Spon, 1880s).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.faults.engine import posterior
from darkroom.resources import fault_catalogue

CATALOGUE, _ = fault_catalogue(Path("no folder"))
US_GRAINS, IMPERIAL_GRAINS = 0.219112, 0.228060
"""Per cent w/v of a grain to the US and to the imperial fluid ounce, by their definitions."""

NAMED = [
    ("Schriever 959", "general fog",
     ("over-exposed", "light leak", "developer short of acid", "bath not acid enough")),
    ("Schriever 892-893", "fog of a new bath", ("bath not iodised",)),
    ("Hasluck, development - exposure", "fog of over-development", ("developed too long",)),
    ("Hasluck, development - exposure", "flat positive", ("over-exposed", "developed too long")),
    ("Estabrooke; Schriever after 952", "pinholes", ("bath full of iodide", "dust in the collodion")),
    ("Schriever 958", "streaks at the top", ("dried in the holder",)),
    ("Schriever 915, 958", "developer streaks",
     ("developer not poured in one sweep", "too little developer", "water before the developer")),
    ("Hardwich", "greasy lines", ("lifted too early", "too little developer", "developer not washed off")),
    ("Hardwich", "curtain marks", ("drained too briefly", "dirty holder", "dipped before it set")),
    ("Schriever before 952", "perpendicular lines", ("bath full of alcohol",)),
    ("Archer; Estabrooke; Hunt", "line across the plate", ("pause in the dip",)),
    ("Cassell", "bath flow band", ("bath stopped in the dish",)),
    ("Schriever 952", "scum on the film",
     ("bath too strong", "collodion too rich in salts", "bath not filtered")),
    ("Schriever 957", "circular marks", ("drops on the back",)),
    ("Cassell", "scum from the holder", ("film touched the holder",)),
    ("Schriever 942", "film leaves the plate",
     ("dipped before it set", "dirty glass", "damp glass", "edges not held")),
    ("Schriever 943", "uneven thickness", ("collodion flowed back",)),
    ("Schriever 945", "ridges or crape lines",
     ("collodion too thick", "collodion too thin", "chipped glass edges", "not rocked while draining")),
    ("Schriever 944", "repelled patches", ("dirty glass", "glass spoilt by an old picture")),
    ("Schriever 944", "lack of contrast", ("damp glass",)),
    ("Schriever 1024", "yellow or brown stain", ("fixer not washed out",)),
    ("Estabrooke p. 30", "developer repels", ("bath full of alcohol", "developer short of alcohol")),
    ("Schriever 914", "image torn by water", ("stream too strong",)),
    ("Workshop Receipts", "varnish ridges",
     ("varnish of bleached shellac", "plate too cold for varnish", "varnish too thin")),
]  # fmt: skip


def decibans(cause: str, figure: str, value: float) -> float:
    """Return what a figure weighs for a shipped cause."""
    (evidence,) = [each for each in CATALOGUE.causes[cause].evidence if each.of == figure]
    return evidence.decibans(value)


@pytest.mark.parametrize(("book", "fault", "causes"), NAMED)
def test_causes_of_the_book_are_linked(book: str, fault: str, causes: tuple[str, ...]) -> None:
    """Each cause that the book names for a fault shows as it in at least a fifth of its plates."""
    assert all(CATALOGUE.faults[fault].causes[cause] >= 0.2 for cause in causes), book


@pytest.mark.parametrize(("book", "fault", "causes"), NAMED)
def test_likeliest_cause_is_one_of_the_book(book: str, fault: str, causes: tuple[str, ...]) -> None:
    """With nothing on record the likeliest cause of a fault is one that the book names for it."""
    chances, _ = posterior(CATALOGUE, [fault], [], {})
    assert max(chances, key=lambda cause: chances[cause]) in causes, book


def test_less_exposure_is_tried_first() -> None:
    """Against a general fog less exposure comes first (Schriever 959)."""
    chances, _ = posterior(CATALOGUE, ["general fog"], [], {})
    assert max(chances, key=lambda cause: chances[cause]) == "over-exposed"


def test_image_after_six_seconds_is_right() -> None:
    """An image after six seconds says little of the exposure, a sooner one says too much (Wilson 150-151)."""
    assert abs(decibans("over-exposed", "first seen", 6)) < 2
    assert abs(decibans("under-exposed", "first seen", 6)) < 3
    assert decibans("over-exposed", "first seen", 3) > 3
    assert decibans("under-exposed", "first seen", 14) > 3


def test_collodion_sets_in_ten_to_fifteen_seconds() -> None:
    """Ten to fifteen seconds speak neither for too early nor for too late (Rodger, 1850s)."""
    for seconds in (10, 12, 15):
        assert decibans("dipped before it set", "coat seconds", seconds) <= 0
        assert decibans("dipped too late", "coat seconds", seconds) < 0
    assert decibans("dipped before it set", "coat seconds", 5) > 5


def test_bath_is_right_at_sixty_fahrenheit_and_too_cold_below_fifty() -> None:
    """60 °F is neither cold nor warm (Hasluck), below 50 °F a bath is too cold (Hunt, Horne's method)."""
    assert decibans("bath too cold", "bath temperature", 15.6) < 0
    assert decibans("bath too warm", "bath temperature", 15.6) < 0
    assert decibans("bath too cold", "bath temperature", 9.9) >= 5


def test_bath_of_45_to_50_grains_is_right_and_above_it_too_strong() -> None:
    """45 grains to the US ounce are not too strong, more than 50 to the imperial one are (Schriever 952)."""
    assert decibans("bath too strong", "bath strength", 45 * US_GRAINS) < 0
    assert decibans("bath too strong", "bath strength", 51 * IMPERIAL_GRAINS) > 5
    assert decibans("bath too weak", "bath strength", 45 * US_GRAINS) < -5


def test_bath_below_the_weakest_of_the_books_is_too_weak() -> None:
    """Below 30 grains to the ounce (Archer, 1852, the weakest) a bath is plainly too weak."""
    assert decibans("bath too weak", "bath strength", 29 * US_GRAINS) > 5


def test_fixing_is_right_at_twice_the_clearing_time() -> None:
    """Twice the clearing time speaks against too little fixing (Hasluck; Steadman; Wellington p. 29)."""
    assert decibans("fixed too briefly", "fixed share", 100) < 0
    assert decibans("fixed too briefly", "fixed share", 60) > 5


def test_collodion_is_good_from_a_week_to_six_months() -> None:
    """From a week to six months collodion is neither unripe nor old (Wilkinson, Photo-engraving, 1890s)."""
    for days in (14, 90, 170):
        assert decibans("unripe collodion", "collodion age", days) < 0
        assert decibans("old collodion", "collodion age", days) < 1
    assert decibans("unripe collodion", "collodion age", 1) > 5
    assert decibans("old collodion", "collodion age", 365) > 5


def test_summer_and_winter_bath_times_are_both_right() -> None:
    """Two and three minutes where three are asked are not strongly too short (Hasluck: summer two thirds)."""
    assert decibans("lifted too early", "bath share", 100) < 0
    assert decibans("lifted too early", "bath share", 67) < 5
