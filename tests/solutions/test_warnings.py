"""What is said before something is done to a bottle."""

from __future__ import annotations

from typing import Any

import pytest

from darkroom.resources import checked_recipes
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import DAY, Bottle, fold
from darkroom.solutions.bottle_strength import BottleStrength, strength_of
from darkroom.solutions.contents import contents, holds_cyanide, substance_of
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.recipe import Amount, Ingredient, Recipe
from darkroom.solutions.substances import SHEET_FIRST
from darkroom.solutions.warnings import warnings
from darkroom.solutions.waste import waste_text
from tests.kit.bottles import entry, made

NOW = 100 * DAY


def bottle(*further: BottleEntry, id: str = "b1", **members: Any) -> Bottle:
    """Return a bath of 9 % made at 1 s, or another bottle."""
    folded = fold(id, [made(**{"strength": 9.0, "volume": 1000.0, "bottle": id, **members}), *further])
    assert folded is not None
    return folded


def event(kind: Any, **members: Any) -> Any:
    """Return a line that is not written yet."""
    return kind(n=1, at="", up=None, **members)


def said(one: Bottle, line: Any, **options: Any) -> str:
    """Return the warnings as one text; where there are any the sheet comes first."""
    found = warnings(one, line, NOW, **options)
    assert not found or found[0] == SHEET_FIRST
    return "\n".join(found[1:])


CYANIDE = bottle(id="k1", what="fixer", name="K-1", recipe="cyanide")
TESTED = entry(ev.Measured, n=9, instant=NOW - 3600.0, what="ph", value=6.0)


@pytest.mark.parametrize(("how", "before"), [("acid", "alkali"), ("alkali", "acid")])
def test_acid_and_alkali_within_a_day(how: str, before: str) -> None:
    """The other one within 24 hours is warned of, a day later it is not."""
    within = bottle(entry(ev.Treated, n=2, instant=NOW - DAY + 60, how=before), TESTED)
    later = bottle(entry(ev.Treated, n=2, instant=NOW - DAY - 60, how=before), TESTED)
    line = event(ev.Treated, how=how, amount="1 drop of soda" if how == "alkali" else "1 drop")
    assert f"{before.capitalize()} went in 23 hours ago" in said(within, line)
    assert "went in" not in said(later, line)


def test_never_without_a_test() -> None:
    """Acid or alkali without a measurement within a day is told to be tested first."""
    line = event(ev.Treated, how="acid")
    assert "litmus" in said(bottle(), line)
    assert said(bottle(TESTED), line) == ""


def test_ammonia_near_silver() -> None:
    """Ammonia into a bath is warned of; alkali of an unsaid kind is asked after."""
    assert "explodes" in said(bottle(TESTED), event(ev.Treated, how="alkali", amount="Ammonia, 1 drop"))
    assert said(bottle(TESTED), event(ev.Treated, how="alkali")).startswith("Is it ammonia?")
    developer = bottle(TESTED, what="developer")
    assert "silver" not in said(developer, event(ev.Treated, how="alkali", amount="ammonia")).casefold()


def test_acid_while_a_cyanide_bottle_is_about() -> None:
    """Any cyanide bottle that is not discarded is named, set aside or not."""
    line = event(ev.Treated, how="acid")
    gone = bottle(entry(ev.Discarded, n=2), id="k1", what="fixer", name="K-1", recipe="cyanide")
    aside = bottle(entry(ev.SetAside, n=2), id="k1", what="fixer", name="K-1", recipe="cyanide")
    for other in (CYANIDE, aside):
        assert "K-1 holds cyanide. Acid sets hydrogen cyanide free" in said(
            bottle(TESTED), line, others=[other]
        )
    assert said(bottle(TESTED), line, others=[gone]) == ""
    assert "hydrogen cyanide" in said(CYANIDE, line)


def test_a_cyanide_bottle_that_is_made() -> None:
    """Who must not is said before a cyanide bottle is entered."""
    line = event(ev.Made, bottle="k1", name="K-1", what="fixer", schema=1, version="", bench="a")
    assert "trained" in said(CYANIDE, line)


@pytest.mark.parametrize(
    ("members", "holds"),
    [
        ({"what": "fixer", "recipe": "cyanide"}, True),
        ({"what": "fixer", "name": "KCN 1.5 %"}, True),
        ({"what": "fixer", "batch": "Cyanide of May"}, True),
        ({"what": "fixer", "recipe": "hypo"}, False),
        ({"what": "note", "name": "cyanide-free"}, False),
    ],
)
def test_what_is_taken_for_cyanide(members: dict[str, str], holds: bool) -> None:
    """Recipe, name and batch tell a cyanide fixer from another."""
    one = bottle(**members)
    assert holds_cyanide(one) is holds
    assert not holds or substance_of(one) is None


def test_silver_into_a_good_bath() -> None:
    """Crystals or stock into a bath near its own strength are warned of; into a weak one not."""
    one = bottle()
    strong, weak = strength_of(one, ()), BottleStrength(percent_wv=8.0, low=7.9, high=8.1, basis="")
    line = event(ev.ToppedUp, grams=10.0)
    assert "strong enough" in said(one, line, strength=strong)
    assert said(one, line, strength=weak) == ""
    assert "strong enough" in said(one, line, strength=weak, wanted=8.0)
    assert said(one, event(ev.ToppedUp, water=50.0), strength=strong) == ""
    assert said(one, line, strength=None) == ""


def test_what_must_not_meet() -> None:
    """A cyanide fixer drawn off into a bath, or topped up from an acid one, is warned of."""
    bath, developer = bottle(), bottle(id="d1", what="developer")
    line = event(ev.DrawnOff, volume=10.0, to="b1")
    assert "never together" in said(CYANIDE, line, others=[bath, CYANIDE])
    assert "hydrogen cyanide" in said(CYANIDE, event(ev.ToppedUp, from_="d1"), others=[developer, bath])
    assert said(bath, event(ev.DrawnOff, volume=10.0, to="b2"), others=[bottle(id="b2")]) == ""


def test_boiling_down_is_for_the_practised() -> None:
    """Hot silver nitrate is warned of; filtering and the like are not."""
    assert "blinds" in said(bottle(), event(ev.Treated, how="boiled_down"))
    for how in ("filtered", "sunned", "iodised"):
        assert said(bottle(), event(ev.Treated, how=how)) == ""
    assert said(bottle(), event(ev.Note, text="x")) == ""


def test_collodion_and_varnish_are_poured_without_a_flame() -> None:
    """Filtering and thinning them is warned of; a bath and a fixer have no flame to fear."""
    for what in ("collodion", "varnish"):
        one = bottle(what=what)
        for line in (event(ev.Treated, how="filtered"), event(ev.ToppedUp, water=20.0)):
            assert "no flame" in said(one, line).casefold()
    assert said(bottle(what="fixer"), event(ev.ToppedUp, water=20.0)) == ""


def test_every_content_is_known_to_the_dangers() -> None:
    """Each thing a bottle may hold is a substance or a kind of the table that warns."""
    from darkroom.solutions.dangers import kinds_of

    for what in ev.WHATS:
        for held in contents(bottle(what=what)):
            assert kinds_of(held)


@pytest.mark.parametrize("what", ["collodion", "varnish"])
def test_no_flame_near_ether_and_spirit(what: str) -> None:
    """Collodion and varnish boiled down or thinned are warned of a flame first; a developer is not."""
    for line in (event(ev.Treated, how="boiled_down"), event(ev.ToppedUp, water=20.0)):
        assert "no flame" in said(bottle(what=what), line)
        assert "flame" not in said(bottle(what="developer"), line)
    assert "no flame" in said(bottle(what="stock", name="Ether"), event(ev.ToppedUp, water=20.0))


def test_a_stock_is_known_by_its_words() -> None:
    """A stock that is called ammonia or acid is warned of as such, whatever goes in from it or beside it."""
    ammonia = bottle(id="a1", what="stock", name="Ammonia 10 %")
    acid = bottle(id="n1", what="stock", name="Nitric acid, 1 + 11")
    assert contents(acid) == ("nitric-acid", "acid") and contents(ammonia) == ("ammonia",)
    made_from = event(ev.Made, bottle="b1", name="B-1", what="bath", schema=1, version="", bench="a")
    drawn = event(ev.DrawnOff, volume=1.0, to="b1")
    assert "explodes" in said(ammonia, drawn, others=[bottle(), ammonia])
    assert "Ammonia 10 % holds ammonia. Silver and ammonia" in said(bottle(), made_from, others=[ammonia])
    assert "B-1 holds silver. Silver and ammonia" in said(ammonia, made_from, others=[bottle()])
    assert "hydrogen cyanide" in said(acid, made_from, others=[CYANIDE])
    assert said(acid, made_from, others=[bottle()]) == ""


def test_an_acid_developer_beside_cyanide() -> None:
    """A developer, which holds acid, is warned of while a cyanide bottle is about, not once it is gone."""
    line = event(ev.Made, bottle="d1", name="D-1", what="developer", schema=1, version="", bench="a")
    developer = bottle(id="d1", what="developer", name="D-1")
    assert "K-1 holds cyanide" in said(developer, line, others=[CYANIDE])
    gone = bottle(entry(ev.Discarded, n=2), id="k1", what="fixer", name="K-1", recipe="cyanide")
    assert said(developer, line, others=[gone, bottle()]) == ""


OURS = Recipe(
    name="Ours",
    makes="fixer",
    volume=Amount(value=1000, unit="mL"),
    ingredients=(
        Ingredient(
            what="the white salt",
            amount=Amount(value=15, unit="g"),
            source="invented",
            substance="potassium-cyanide",
        ),
    ),
    steps=(),
)
"""A cyanide fixer of one's own whose name does not say so."""


def test_cyanide_is_known_by_what_goes_into_an_own_recipe() -> None:
    """Neither its name nor that of its recipe says cyanide: acid is warned of beside it, and in it."""
    fixer, known = bottle(id="f1", what="fixer", name="F-1", recipe="ours"), {"ours": OURS}
    acid = event(ev.Treated, how="acid")
    assert "hydrogen cyanide" in said(bottle(TESTED), acid, others=[fixer], recipes=known)
    assert "hydrogen cyanide" in said(fixer, acid, recipes=known)
    assert "hydrogen cyanide" not in said(fixer, acid)
    assert "licensed disposal" in waste_text(fixer, known)
    named = event(ev.RecipeNamed, recipe="ours")
    assert "never alone" in said(bottle(id="f2", what="fixer", name="F-2"), named, recipes=known)


def test_what_cyanide_was_poured_into_holds_cyanide() -> None:
    """A fixer topped up from a cyanide stock is warned of, and disposed of, as cyanide."""
    stock = bottle(id="s1", what="stock", name="KCN")
    topped = bottle(entry(ev.ToppedUp, n=2, water=10.0, from_="s1"), id="f3", what="fixer", name="F-3")
    acid = event(ev.Treated, how="acid")
    assert "F-3 holds cyanide" in said(bottle(TESTED), acid, others=[stock, topped])
    assert "licensed disposal" in waste_text(topped, {}, [stock, topped])
    assert "licensed disposal" not in waste_text(topped, {})


def test_an_intensifier_is_acid_by_its_recipe() -> None:
    """The shipped one has citric acid in it: entered beside a cyanide bottle that is said."""
    new = bottle(id="i1", what="intensifier", name="I-1", recipe="intensifier")
    recipes, _ = checked_recipes()
    line = new.entries[0].event
    assert "K-1 holds cyanide" in said(new, line, others=[CYANIDE], recipes=recipes)


@pytest.mark.parametrize(
    ("name", "cyanide"),
    [("potassium_cyanide", True), ("Cyankali KCN", True), ("potassium ferricyanide", False), ("KCNO", False)],
)
def test_a_stock_is_cyanide_by_its_name(name: str, cyanide: bool) -> None:
    """Whatever stands around the word; a ferricyanide is none."""
    assert holds_cyanide(bottle(id="s2", what="stock", name=name)) is cyanide


@pytest.mark.parametrize("name", ["Glacial acetic", "Hydrochloric 10 %", "citric"])
def test_a_stock_of_an_acid_is_acid_without_the_word(name: str) -> None:
    """Beside a cyanide bottle it is warned of when it is entered."""
    new = bottle(id="s3", what="stock", name=name)
    assert "K-1 holds cyanide" in said(new, new.entries[0].event, others=[CYANIDE])


def test_silver_stock_is_silver_waste() -> None:
    """Where its silver goes is said as it is of a bath."""
    assert "never poured away" in waste_text(bottle(id="s4", what="stock", name="silver 20 %"), {})
