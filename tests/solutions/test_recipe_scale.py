"""A recipe made larger or smaller keeps its ratios, to a volume and to what is left of an ingredient."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom import resources
from darkroom.errors import QuantityError
from darkroom.solutions.recipe import Amount, Care, Due, Ingredient, Recipe
from darkroom.solutions.recipe_scale import LEAST_ML, MOST_ML, scaled, to_ingredient, to_volume

SHIPPED = {name: resources.read_recipe(path) for name, path in resources.recipes(Path("no folder")).items()}
names = st.sampled_from(sorted(SHIPPED))
factors = st.floats(0.01, 100)


def ratios(recipe: Recipe) -> list[float]:
    """Return every amount as a share of the volume that it makes, old ones too."""
    amounts = [part.amount for part in recipe.ingredients]
    old = [amount.old[0] for amount in amounts if amount.old is not None]
    return [number / recipe.volume.value for number in [*(amount.value for amount in amounts), *old]]


@given(names, factors)
def test_scaling_keeps_every_ratio(name: str, factor: float) -> None:
    """Each amount to the volume stays what it was, and steps, sources and strength with it."""
    recipe = SHIPPED[name]
    made = scaled(recipe, factor)
    assert made.volume.value == pytest.approx(recipe.volume.value * factor, rel=1e-12)
    assert ratios(made) == pytest.approx(ratios(recipe), rel=1e-12)
    assert (made.steps, made.strength, made.keeps, made.warning) == (
        recipe.steps,
        recipe.strength,
        recipe.keeps,
        recipe.warning,
    )
    assert [part.source for part in made.ingredients] == [part.source for part in recipe.ingredients]


@given(names, st.floats(1, 50_000))
def test_the_volume_asked_for_is_what_is_made(name: str, volume: float) -> None:
    """To a volume: it is that volume, and what fills up fills up to it where the recipe did."""
    made = to_volume(SHIPPED[name], Amount(value=volume, unit="mL"))
    assert made.volume.value == volume
    assert all(
        part.amount.value == pytest.approx(volume, rel=1e-3) for part in made.ingredients if part.fills
    )


@given(names, st.floats(0.5, 5_000), st.integers(0, 20))
def test_what_is_left_is_used_up(name: str, left: float, which: int) -> None:
    """To what is left of any ingredient: all of it goes in, and the ratios stay."""
    recipe = SHIPPED[name]
    weighed = [part for part in recipe.ingredients if not part.fills]
    part = weighed[which % len(weighed)]
    amount = Amount(value=left, unit=part.amount.unit)
    volume = recipe.volume.value * left / part.amount.value
    if not LEAST_ML <= volume <= MOST_ML:
        with pytest.raises(QuantityError, match="a recipe makes"):
            to_ingredient(recipe, part.what, amount)
        return
    made = to_ingredient(recipe, part.what, amount)
    used = made.ingredient(part.what)
    assert used is not None and used.amount.value == pytest.approx(left, rel=1e-12)
    assert ratios(made) == pytest.approx(ratios(recipe), rel=1e-12)


@given(names, st.floats(0.1, 10), st.floats(0.1, 10))
def test_scaling_twice_is_scaling_once(name: str, first: float, second: float) -> None:
    """Two factors one after the other are their product."""
    twice, once = scaled(scaled(SHIPPED[name], first), second), scaled(SHIPPED[name], first * second)
    assert ratios(twice) == pytest.approx(ratios(once), rel=1e-9)
    assert twice.volume.value == pytest.approx(once.volume.value, rel=1e-9)


def test_what_a_care_counts_grows_with_the_volume() -> None:
    """Plates and area are multiplied, a plate at the least; times, clearing and strength stay."""
    after = Due(plates=20, area=1000.0, seconds=86400.0, clearing=2.0, percent_below=8.0)
    recipe = Recipe(
        name="bath",
        makes="bath",
        volume=Amount(value=1000.0, unit="mL"),
        ingredients=(Ingredient(what="a", amount=Amount(value=90.0, unit="g"), source="invented"),),
        steps=("Dissolve.",),
        care=(Care(id="filter", do="Filter", after=after, answered_by=("filtered",), source="invented"),),
    )
    (half,) = scaled(recipe, 0.5).care
    assert half.after == Due(plates=10, area=500.0, seconds=86400.0, clearing=2.0, percent_below=8.0)
    (little,) = scaled(recipe, 0.01).care
    assert little.after.plates == 1


@pytest.mark.parametrize("factor", [0.0, 1e-5, 1e4, float("inf"), float("nan"), -1.0])
def test_less_than_two_drops_or_more_than_a_cubic_metre_is_refused(factor: float) -> None:
    """Such a factor is a slip."""
    with pytest.raises(QuantityError, match=r"a recipe makes 0\.1 mL to"):
        scaled(SHIPPED["silver-bath"], factor)


def test_an_unknown_ingredient_names_those_there_are() -> None:
    """The nearest right name is told, and without one all that are weighed or measured."""
    left = Amount(value=1.0, unit="g")
    with pytest.raises(QuantityError, match=r"did you mean 'silver-nitrate'\?"):
        to_ingredient(SHIPPED["silver-bath"], "silver-nitrat", left)
    with pytest.raises(QuantityError, match="it has silver-nitrate"):
        to_ingredient(SHIPPED["silver-bath"], "zzz", left)


@pytest.mark.parametrize(
    ("recipe", "name", "what"),
    [
        ("developer-summer", "Ferrous-Sulphate", "ferrous sulphate, green crystals"),
        ("developer-summer", "green vitriol", "ferrous sulphate, green crystals"),
        ("developer-summer", "spirits of wine", "alcohol, 95 %"),
        ("varnish", "sandarac", "gum sandarac"),
        ("varnish", "oil-of-lavender", "oil of lavender"),
        ("varnish", "lavender", "oil of lavender"),
        ("collodion", "plain collodion", "plain collodion, 4 %"),
        ("collodion", "sulphuric ether", "diethyl ether"),
    ],
)
def test_an_ingredient_has_the_names_of_the_trade(recipe: str, name: str, what: str) -> None:
    """By its name, its substance's and that one's aliases, and by a word that only it has."""
    found = SHIPPED[recipe].ingredient(name)
    assert found is not None and found.what == what


def test_a_name_of_several_is_asked_about() -> None:
    """Two ingredients with the word: both are named."""
    with pytest.raises(QuantityError, match="'ammonium' may be ammonium iodide or ammonium bromide: which"):
        to_ingredient(SHIPPED["collodion-without-cadmium"], "ammonium", Amount(value=1.0, unit="g"))
