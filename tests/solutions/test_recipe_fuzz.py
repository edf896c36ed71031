"""Whatever stands in a recipe file, it is a recipe or a list of mistakes."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import QuantityError, RecipeError
from darkroom.process.text.amounts import amount, area, span
from darkroom.solutions.recipe import Recipe
from darkroom.solutions.recipe_file import parse
from tests.kit.documents import ROOT
from tests.kit.texts_with_slips import any_texts, texts_of_words, texts_with_slips

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


@given(any_texts())
def test_any_text_is_a_recipe_or_mistakes(text: str) -> None:
    """No text ends in anything else."""
    is_told(text)


@given(texts_of_words(WORDS))
def test_any_words_of_a_recipe_are_a_recipe_or_mistakes(text: str) -> None:
    """Nor do the words of a recipe in any order."""
    is_told(text)


@given(texts_with_slips(TEXTS, WORDS))
def test_a_recipe_with_slips_is_a_recipe_or_mistakes(text: str) -> None:
    """Nor does a shipped recipe in which lines, words and signs were lost, doubled or exchanged."""
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
