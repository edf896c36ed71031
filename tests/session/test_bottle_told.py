"""A bottle in a few words, for the hand that chooses one."""

from __future__ import annotations

from darkroom.resources import checked_recipes
from darkroom.session.bottle_told import told
from darkroom.solutions.bottle import DAY, fold
from darkroom.solutions.uses import Use
from tests.kit.bottles import made

MADE = 1777700000.0
"""2 May 2026, in seconds since the epoch."""
RECIPES, _ = checked_recipes()


def words(plates: int, **members: object) -> str:
    """Return what is told of a bath a day after it was made, when so many plates had used it."""
    bottle = fold("b1", [made(bottle="b1", name="B-1", what="bath", instant=MADE, **members)])
    assert bottle is not None
    uses = [
        Use(
            plate=f"p{n}", number=n, bottle="b1", role="bath", stage="sensitise", instant=MADE + n, area=400.0
        )
        for n in range(plates)
    ]
    return told(bottle, RECIPES, uses, MADE + DAY)


def test_strength_plates_and_the_first_care() -> None:
    """A new bath of the shipped recipe must be iodised; nothing is said of a strength that nobody knows."""
    known = words(0, recipe="silver-bath", strength=9.0)
    assert known == "9 %, 0 plates, iodise the new bath with a coated plate"
    assert words(1).startswith("1 plate")
