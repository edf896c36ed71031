"""Recipe files: what is right is read, every mistake is named with its line, key and nearest word."""

from __future__ import annotations

import pytest

from darkroom.errors import RecipeError
from darkroom.solutions.recipe import Amount, Care, Due, Ingredient, Period, Recipe
from darkroom.solutions.recipe_file import parse
from tests.kit.documents import ROOT

WRONG = ROOT / "tests" / "invalid" / "recipe"

# (file, line, key, telling phrase, nearest right word)
MISTAKES: list[tuple[str, int | None, str | None, str, str | None]] = [
    ("amount-and-fill-to", 7, "ingredients[1]", "either 'amount' or 'fill_to'", None),
    ("amount-comma", 7, "ingredients[1].amount", "a comma in its number", None),
    ("amount-minutes", 5, "ingredients[1].amount", "'20 min' is minutes", None),
    ("amount-missing", 7, "ingredients[1]", "either 'amount' or 'fill_to'", None),
    ("amount-negative", 7, "ingredients[1].amount", "'-90 g' is negative", None),
    ("amount-nought", 7, "ingredients[1].amount", "'0 g' is absurd", None),
    ("amount-open-drachm", 5, "ingredients[1].amount", "which ounce or drachm", None),
    ("amount-open-fluid-ounce", 7, "ingredients[1].amount", "which fluid ounce: write 'US' or", None),
    ("amount-open-ounce", 7, "ingredients[1].amount", "which ounce or drachm", None),
    ("amount-unit-misspelt", 7, "ingredients[1].amount", "(did you mean 'grain'?)", None),
    ("amount-without-unit", 7, "ingredients[1].amount", "'90' has no unit", None),
    ("bad-yaml", 2, None, "not YAML", None),
    ("care-acid-untested", 12, "care[1].do", "after a test alone: say which under 'test'", None),
    ("care-after-empty", 12, "care[1].after", "one of plates, area, days", None),
    ("care-after-unknown", 12, "care[1].after.plate", "unknown key 'plate'", "plates"),
    ("care-after-word", 12, "care[1].after", "or 'at once'", None),
    ("care-answer-empty", 12, "care[1].answered_by", "one or more of made, opened", None),
    ("care-answer-unknown", 12, "care[1].answered_by", "'filterd' is none of", "filtered"),
    ("care-area-unit", 12, "care[1].after.area", "'20' has no unit", None),
    ("care-clearing-at-once", 12, "care[1].after.clearing", "between 1.05 and 20", None),
    ("care-id-spaces", 12, "care[1].id", "'filter it' is no name", None),
    ("care-id-twice", 13, "care[2]", "the id 'filter' stands twice", None),
    ("care-plates-half", 12, "care[1].after.plates", "no whole number", None),
    ("caution-colon-unquoted", 10, "cautions[1]", "needs quotation marks", None),
    ("caution-emoji", 7, "ingredients[1].cautions", "white light in the dark", None),
    ("cyanide-with-acid", 8, "ingredients[3]", "sets hydrogen cyanide free", None),
    ("cyanide-without-warning", 5, "ingredients[1]", "opens with a 'warning'", None),
    ("duplicate-key", 13, "volume", "stands twice, first on line 3", None),
    ("empty", None, None, "the file is empty", None),
    ("fill-to-other-volume", 3, "volume", "filled up to is 2000 mL: the recipe makes 1000 mL", None),
    ("fill-to-overfull", 7, "ingredients", "the liquids are 1200 mL already", None),
    ("fill-to-twice", 9, "ingredients[3]", "two ingredients fill up the whole", None),
    ("fill-to-weighed", 8, "ingredients[2].fill_to", "expected a volume", None),
    ("ingredient-twice", 8, "ingredients[2]", "stands twice, first on line 7", None),
    ("ingredients-empty", 6, "ingredients", "at least one ingredient", None),
    ("ingredients-mapping", 6, "ingredients", "expected a list", None),
    ("liquids-over-volume", 3, "volume", "the liquids are 550 mL: more than the 500 mL", None),
    ("makes-unknown", 2, "makes", "'bahts' is none of", "bath"),
    ("name-escape", 1, "name", "a character that cannot be shown (U+001B)", None),
    ("name-missing", 1, None, "the key 'name' is missing", None),
    ("of-alone", 4, "of", "'strength' is missing", None),
    ("ready-months", 9, "ready.after", "'2 months' cannot be read", None),
    ("ready-without-source", 9, "ready", "a number stands with its source", None),
    ("root-list", 1, None, "expected a mapping", None),
    ("root-text", 1, None, "expected a mapping", None),
    ("silver-with-ammonia", 6, "ingredients[2]", "silver nitrate and liquor ammoniae in one recipe", None),
    ("source-missing", 7, "ingredients[1]", "the key 'source' is missing", None),
    ("step-mapping", 10, "steps[1]", "needs quotation marks", None),
    ("steps-empty", 9, "steps", "at least one step", None),
    ("strength-disagrees", 4, "strength", "90 g in 1000 mL make 9 %, not 7 %", None),
    ("strength-of-nothing", 4, "strength", "'of' is missing", None),
    ("strength-of-unknown", 5, "of", "is no ingredient of this recipe", "silver-nitrate"),
    ("strength-without-unit", 4, "strength", "'9' has no unit", None),
    ("substance-unknown", 5, "ingredients[1].substance", "is none of", "silver-nitrate"),
    ("unknown-ingredient-key", 7, "ingredients[1].amuont", "unknown key", "amount"),
    ("unknown-key", 4, "strenght", "unknown key", "strength"),
    ("volume-weighed", 3, "volume", "expected a volume", None),
    ("volume-without-unit", 3, "volume", "'1' has no unit", None),
]

WHOLE = """
name: Silver bath
makes: bath
volume: 20 US fl oz
strength: 9.1 %
of: silver-nitrate
warning: Goggles first.
cautions: It stains.
ingredients:
  - what: silver nitrate
    substance: silver-nitrate
    amount: 830 gr
    source: invented
    cautions: [It blinds., It burns.]
  - {what: distilled water, fill_to: 20 US fl oz, source: invented}
steps: [Dissolve it., Fill up.]
ready: {after: 12 h, source: invented}
keeps: {for: 2 weeks, source: invented}
care:
  - {id: iodise, do: Iodise it, after: at once, answered_by: iodised, source: invented}
  - id: filter
    do: Filter it
    after: {plates: 20, area: 100 sq in, days: 1.5, clearing: 2, strength_below: 8 %}
    answered_by: [made, filtered]
    source: invented
    test: Look at it.
    cautions: Goggles on.
notes: Keep it dark.
"""


@pytest.mark.parametrize(("name", "line", "key", "phrase", "near"), MISTAKES)
def test_a_wrong_recipe_is_told_with_line_key_and_nearest_word(
    name: str, line: int | None, key: str | None, phrase: str, near: str | None
) -> None:
    """Each mistake is named where it stands, and nothing beside it that only follows from it."""
    with pytest.raises(RecipeError) as raised:
        parse((WRONG / f"{name}.yaml").read_bytes(), f"{name}.yaml")
    found = [(one.line, one.key, one.nearest) for one in raised.value.problems if phrase in one.what]
    assert found == [(line, key, near)]


def test_every_wrong_recipe_has_its_phrase() -> None:
    """No file of tests/invalid/recipe is left untried."""
    assert {path.stem for path in WRONG.glob("*.yaml")} == {row[0] for row in MISTAKES}


def test_an_ingredient_that_cannot_be_read_is_one_mistake() -> None:
    """A strength of what is broken is not told as a second one."""
    with pytest.raises(RecipeError) as raised:
        parse((WRONG / "amount-comma.yaml").read_bytes(), "r.yaml")
    assert len(raised.value.problems) == 1


def test_a_whole_recipe_is_read() -> None:
    """Every key arrives in its unit: mL, g, seconds, cm², per cent; one line stands for a list of one.

    1 US fluid ounce is 29.5735295625 mL, 1 grain 64.79891 mg: NIST Handbook 44, appendix C (from memory).
    """
    recipe = parse(WHOLE, "whole.yaml")
    volume = Amount(
        value=pytest.approx(20 * 29.5735295625), unit="mL", old=(20.0, "US fl oz"), took="US fluid ounce"
    )
    assert recipe == Recipe(
        name="Silver bath",
        makes="bath",
        volume=volume,
        strength=9.1,
        of="silver-nitrate",
        warning="Goggles first.",
        cautions=("It stains.",),
        ingredients=(
            Ingredient(
                what="silver nitrate",
                substance="silver-nitrate",
                amount=Amount(
                    value=pytest.approx(830 * 0.06479891),
                    unit="g",
                    old=(830.0, "gr"),
                    took="grain of 0.0648 g",
                ),
                source="invented",
                cautions=("It blinds.", "It burns."),
            ),
            Ingredient(what="distilled water", amount=volume, source="invented", fills=True),
        ),
        steps=("Dissolve it.", "Fill up."),
        ready=Period(seconds=12 * 3600.0, source="invented"),
        keeps=Period(seconds=14 * 86400.0, source="invented"),
        care=(
            Care(
                id="iodise",
                do="Iodise it",
                after=Due(at_once=True),
                answered_by=("iodised",),
                source="invented",
            ),
            Care(
                id="filter",
                do="Filter it",
                after=Due(
                    plates=20,
                    area=pytest.approx(645.16),
                    seconds=1.5 * 86400.0,
                    clearing=2.0,
                    percent_below=8.0,
                ),
                answered_by=("made", "filtered"),
                source="invented",
                test="Look at it.",
                cautions=("Goggles on.",),
            ),
        ),
        notes=("Keep it dark.",),
    )


@pytest.mark.parametrize("name", ["silver nitrate", "Silver-Nitrate", "silver-nitrate", "SILVER  NITRATE"])
def test_an_ingredient_is_found_by_name_or_substance(name: str) -> None:
    """Case, hyphens and spaces between words do not count."""
    found = parse(WHOLE, "whole.yaml").ingredient(name)
    assert found is not None and found.what == "silver nitrate"


def test_what_is_no_ingredient_is_not_found() -> None:
    """Another word finds nothing, nor does an empty one."""
    recipe = parse(WHOLE, "whole.yaml")
    assert recipe.ingredient("gold") is None and recipe.ingredient("") is None
