"""Whatever stands in a recipe file, it is a recipe or a list of mistakes."""

from __future__ import annotations

import random

from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import QuantityError, RecipeError
from darkroom.process.text.amounts import amount, area, span
from darkroom.solutions.recipe import Recipe
from darkroom.solutions.recipe_file import parse
from tests.kit.documents import ROOT

FILES = sorted((ROOT / "profiles" / "solutions").glob("*.yaml"))
TEXTS = [path.read_text(encoding="utf-8") for path in FILES]
WORDS = (
    "name", "makes", "bath", "volume", "1 L", "1 US fl oz", "strength", "9 %", "of", "ingredients", "what",
    "amount", "90 g", "40 gr", "-1 g", "1 oz", "1/0 g", "1 + 3", "nan g", "fill_to", "source", "care", "id",
    "after", "at once", "{plates: 20}", "{days: 0}", "answered_by", "filtered", "steps", "- ", "  ", "\n",
    ": ", "[", "]", "{", "}", "&a", "*a", "!!x", "\t", "\x00", "\ud800", "é", "potassium cyanide", "acid",
)  # fmt: skip
QUANTITIES = st.one_of(st.text(), st.lists(st.sampled_from(WORDS), max_size=6).map("".join))


def is_told(text: str) -> None:
    """Read a text: a recipe, or mistakes that each can be printed."""
    try:
        assert isinstance(parse(text, "fuzz.yaml"), Recipe)
    except RecipeError as error:
        assert error.problems and all(str(problem).startswith("fuzz.yaml") for problem in error.problems)
        assert str(error).replace("\n", "").isprintable()


@given(st.one_of(st.text(), st.binary().map(lambda raw: raw.decode("latin-1"))))
def test_any_text_is_a_recipe_or_mistakes(text: str) -> None:
    """No text ends in anything else."""
    is_told(text)


@given(st.lists(st.sampled_from(WORDS), max_size=60).map("".join))
def test_any_words_of_a_recipe_are_a_recipe_or_mistakes(text: str) -> None:
    """Nor do the words of a recipe in any order."""
    is_told(text)


@given(st.sampled_from(TEXTS), st.integers(0, 2**32), st.integers(1, 8))
def test_a_recipe_with_slips_is_a_recipe_or_mistakes(text: str, seed: int, slips: int) -> None:
    """Nor does a shipped recipe in which lines, words and signs were lost, doubled or exchanged."""
    chance = random.Random(seed)
    for _ in range(slips):
        lines = text.split("\n")
        at = chance.randrange(len(lines))
        match chance.randrange(5):
            case 0:
                del lines[at]
            case 1:
                lines.insert(at, lines[chance.randrange(len(lines))])
            case 2:
                lines[at] = lines[at][1:]
            case 3:
                lines[at] += chance.choice(WORDS)
            case _:
                cut = chance.randrange(len(lines[at]) + 1)
                lines[at] = lines[at][:cut] + chance.choice(WORDS) + lines[at][cut + 1 :]
        text = "\n".join(lines) or "x"
    is_told(text)


@given(QUANTITIES)
def test_any_amount_area_or_time_is_a_number_or_a_sentence(text: str) -> None:
    """The readers of single values return a finite number above nothing, or raise QuantityError."""
    for reader in (lambda typed: amount(typed)[0].value, area, span):
        try:
            number = reader(text)
        except QuantityError:
            continue
        assert 0 < number < 1e12
