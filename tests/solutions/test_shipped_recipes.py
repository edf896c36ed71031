"""The shipped recipes: what is there, what each says of its hazards, and that it holds for any volume."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from darkroom import resources
from darkroom.solutions.events import TREATMENTS, WHATS
from darkroom.solutions.recipe import ANSWERS, MAKES
from darkroom.solutions.substances import SUBSTANCES

FILES = resources.recipes(Path("no folder"))
SHIPPED = {name: resources.read_recipe(path) for name, path in FILES.items()}
NAMES = sorted(SHIPPED)


def test_the_bench_of_a_wet_plate_photographer_is_there() -> None:
    """Everything that a plate needs from the glass to the varnish can be mixed."""
    assert {recipe.makes for recipe in SHIPPED.values()} >= set(MAKES)
    assert {
        "cleaning-paste", "edging", "substratum", "silver-bath", "collodion", "collodion-without-cadmium",
        "developer-summer", "developer-winter", "developer-negative", "hypo", "cyanide", "intensifier",
        "varnish", "varnish-without-lavender",
    } <= set(SHIPPED)  # fmt: skip


def test_what_a_recipe_makes_can_be_in_a_bottle() -> None:
    """The words of a recipe are those of the book of bottles."""
    assert set(MAKES) <= set(WHATS)
    assert set(ANSWERS) - {"made", "opened", "measured", "ph", "topped_up"} <= set(TREATMENTS)


@pytest.mark.parametrize("name", NAMES)
def test_every_source_is_a_book_or_says_that_there_is_none(name: str) -> None:
    """No number stands without a word on where it comes from."""
    recipe = SHIPPED[name]
    sources = [part.source for part in recipe.ingredients] + [care.source for care in recipe.care]
    sources += [period.source for period in (recipe.ready, recipe.keeps) if period is not None]
    books = (
        "Estabrooke|Schriever|Wilkinson|Towler|Dictionary|Cooley|Henley|Barnet|Cassell|Hasluck|the same"
        "|manuals|common practice|texts"
    )
    assert [source for source in sources if not re.search(books, source)] == []


@pytest.mark.parametrize("name", NAMES)
def test_the_steps_have_their_source_above_them(name: str) -> None:
    """A remark above the steps says where their shares, times and order come from."""
    before = FILES[name].read_text(encoding="utf-8").split("\nsteps:\n")[0]
    remark = before[before.rindex("\n\n") :].strip()
    assert remark.startswith("# Steps: ") and all(line.startswith("#") for line in remark.split("\n"))


@pytest.mark.parametrize("name", NAMES)
def test_every_hazard_is_said_at_its_ingredient(name: str) -> None:
    """What the table of substances warns of is warned of here, and the safety sheets come first."""
    for part in SHIPPED[name].ingredients:
        if part.substance is not None and SUBSTANCES[part.substance].cautions:
            assert part.cautions, part.what
    text = FILES[name].read_text(encoding="utf-8")
    assert "Your supplier's safety sheets and local codes come first." in text


@pytest.mark.parametrize(
    ("kind", "word"),
    [
        ("silver nitrate", "goggles"),
        ("cyanide", "poison"),
        ("cadmium", "cancer"),
        ("ether", "flame|burns"),
        ("flammable", "flame|burns|skin"),
        ("acid", "burns"),
    ],
)
def test_a_hazard_is_said_in_its_word(kind: str, word: str) -> None:
    """Each ingredient of a kind has the caution that this kind needs, and there is such an ingredient."""
    parts = [
        part
        for recipe in SHIPPED.values()
        for part in recipe.ingredients
        if part.substance is not None and kind in SUBSTANCES[part.substance].kinds
    ]
    assert parts
    for part in parts:
        assert re.search(word, " ".join(part.cautions).casefold()), part.what


def test_nothing_with_mercury_or_gasoline_is_shipped() -> None:
    """Neither is offered: the first is poison, the second burns before it is poured."""
    named = [part.what.casefold() for recipe in SHIPPED.values() for part in recipe.ingredients]
    assert [what for what in named if re.search("mercur|sublimate|gasoline|benzine|petrol", what)] == []


def test_only_cyanide_has_a_warning_and_it_sends_to_hypo() -> None:
    """Who must not mix it: without training, licence, ventilation, company, or with acid in the room."""
    assert [name for name, recipe in SHIPPED.items() if recipe.warning] == ["cyanide"]
    warning = SHIPPED["cyanide"].warning
    assert warning is not None and warning.startswith("Who must not mix it")
    for word in ("training", "licence", "ventilation", "alone", "acid", "hypo"):
        assert word in warning


@pytest.mark.parametrize("name", NAMES)
def test_steps_hold_for_any_volume(name: str) -> None:
    """No step names grams, millilitres, grains or ounces: only the list of ingredients is scaled."""
    amounts = re.compile(r"\d\s?(g|kg|mL|L|gr|grains?|oz|ounces?|drops?)\b")
    assert [step for step in SHIPPED[name].steps if amounts.search(step)] == []


def test_an_uniodised_bath_is_due_at_once() -> None:
    """A new bath wants iodising before its first plate."""
    iodise = next(care for care in SHIPPED["silver-bath"].care if care.id == "iodise")
    assert iodise.after.at_once and iodise.answered_by == ("iodised",)


def test_acid_is_given_to_the_bath_after_litmus_alone() -> None:
    """The care that may end in nitric acid begins with the test, and forbids alkali within a day."""
    acidity = next(care for care in SHIPPED["silver-bath"].care if care.id == "acidity")
    assert acidity.test is not None and "litmus" in acidity.test and "Only if it stays blue" in acidity.test
    assert any("within a day" in caution for caution in acidity.cautions)


@pytest.mark.parametrize("name", NAMES)
def test_a_recipe_is_written_in_sentences(name: str) -> None:
    """Each step, caution and note ends with a full stop; no brand and no address stands in them."""
    recipe = SHIPPED[name]
    said = [*recipe.steps, *recipe.cautions, *recipe.notes]
    said += [caution for part in recipe.ingredients for caution in part.cautions]
    assert [text for text in said if not text.rstrip(")").endswith(".")] == []
    assert [text for text in said if re.search(r"https?:|www\.|®|™", text)] == []
