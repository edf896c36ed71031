"""What a bottle holds is told by its recipe, and by the words on it."""

from __future__ import annotations

import pytest

from darkroom.resources import checked_recipes
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.contents import fixing_in, fixing_in_each
from darkroom.solutions.recipe import Amount, Ingredient, Recipe
from tests.kit.bottles import entry, made

SHIPPED, _ = checked_recipes()


def a_bottle(name: str = "F-1", **members: object) -> Bottle:
    """Return a bottle of fixer of this name."""
    bottle = fold("f1", [made(bottle="f1", name=name, what="fixer", **members)])
    assert bottle is not None
    return bottle


def a_recipe(what: str, substance: str | None = None) -> Recipe:
    """Return a recipe of one ingredient."""
    part = Ingredient(what=what, amount=Amount(value=10, unit="g"), source="invented", substance=substance)
    return Recipe(
        name="Ours", makes="fixer", volume=Amount(value=1000, unit="mL"), ingredients=(part,), steps=()
    )


def test_the_shipped_recipes_are_told() -> None:
    """The fixer of the recipe `cyanide` holds cyanide, that of `hypo` hypo."""
    assert fixing_in(a_bottle(recipe="cyanide"), SHIPPED["cyanide"]) == "cyanide"
    assert fixing_in(a_bottle(recipe="hypo"), SHIPPED["hypo"]) == "hypo"


@pytest.mark.parametrize(
    ("recipe", "holds"),
    [
        (a_recipe("the white salt", "potassium-cyanide"), "cyanide"),
        (a_recipe("KCN, lumps"), "cyanide"),
        (a_recipe("cyanide of sodium"), "cyanide"),
        (a_recipe("potassium ferricyanide"), None),
        (a_recipe("sodium thiosulfate, old"), "hypo"),
        (a_recipe("rapid fixer"), None),
        (a_recipe("sodium hypochlorite"), None),
    ],
)
def test_an_own_recipe_is_told_by_what_goes_in(recipe: Recipe, holds: str | None) -> None:
    """By the substance where the table knows it, else by the words; a ferricyanide is no cyanide."""
    assert fixing_in(a_bottle(recipe="ours"), recipe) == holds


def test_without_a_recipe_the_words_tell_or_nobody_knows() -> None:
    """ "K-1 cyanide" is called so; of "F-1" nothing is known, though most fixers are hypo."""
    assert fixing_in(a_bottle("K-1 cyanide")) == "cyanide"
    assert fixing_in(a_bottle("hypo, May")) == "hypo"
    assert fixing_in(a_bottle()) is None


def test_cyanide_goes_with_what_was_poured() -> None:
    """From a stock into a bottle, from that into the next, whichever of the two has the line."""
    stock = fold("s", [made(bottle="s", name="KCN 10 %", what="stock"), entry(ev.DrawnOff, n=2, to="a")])
    fixer = fold("a", [made(bottle="a", name="F-1", what="fixer")])
    second = fold("b", [made(bottle="b", name="F-2", what="fixer", from_=("a",))])
    topped = fold("c", [made(bottle="c", name="hypo", what="fixer"), entry(ev.ToppedUp, n=2, from_="b")])
    other = fold("d", [made(bottle="d", name="F-4", what="fixer")])
    bottles = [bottle for bottle in (topped, other, second, fixer, stock) if bottle is not None]
    assert fixing_in_each(bottles, {}) == dict.fromkeys("abcs", "cyanide") | {"d": None}
