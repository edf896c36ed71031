"""A recipe as a bench card: plain text of 80 columns to print and hang up, warnings first."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from darkroom.session.cautions import FIRST
from darkroom.solutions import recipe_text as say
from darkroom.solutions.recipe import Recipe

WIDTH = 80


def cautions(recipe: Recipe) -> list[str]:
    """Return everything to beware of, the warning first, each caution of an ingredient with its name."""
    said = [recipe.warning] if recipe.warning else []
    said += [FIRST, *recipe.cautions]
    for part in recipe.ingredients:
        said += [f"{part.what}: {text}" for text in (*part.cautions, *say.drop_remarks(part.amount))]
    return said + [f"{care.do}: {caution}" for care in recipe.care for caution in care.cautions]


def card(recipe: Recipe, file: str, why: str = "") -> list[str]:
    """Return the lines of a card; `file` is where the recipe comes from, `why` says what decides how much."""
    sources = _Sources()
    lines = [*_wrapped(recipe.warning, "WARNING  "), ""] if recipe.warning else []
    lines += [*_wrapped(_title(recipe)), *_wrapped(f"makes {_volume(recipe)}{why}")]
    lines += ["", *_wrapped(FIRST)]
    for caution in recipe.cautions:
        lines += _wrapped(caution, "! ")
    lines += ["", "What goes in, in this order", *_ingredients(recipe, sources)]
    lines += ["", "How it is mixed"]
    for number, step in enumerate(recipe.steps, 1):
        lines += _wrapped(step, f"{number:3}  ")
    lines += _times(recipe, sources)
    if recipe.care:
        lines += ["", "What it needs in use"]
    for care in recipe.care:
        lines += _wrapped(f"{say.say_care(care)} {sources.mark(care.source)}", "  - ")
        lines += _wrapped(f"Test: {care.test}", "    ") if care.test else []
        for caution in care.cautions:
            lines += _wrapped(caution, "    ! ")
    if recipe.notes:
        lines += ["", "Notes"]
    for note in recipe.notes:
        lines += _wrapped(note, "  - ")
    return [*lines, "", "Sources", *sources.lines(), "", f"File: {file}"]


class _Sources:
    """The sources of a card, each with its number."""

    def __init__(self) -> None:
        self.numbers: dict[str, int] = {}

    def mark(self, source: str) -> str:
        return f"[{self.numbers.setdefault(source, len(self.numbers) + 1)}]"

    def lines(self) -> Iterable[str]:
        for source, number in self.numbers.items():
            yield from _wrapped(source, f"{f'[{number}]':>4} ")


def _title(recipe: Recipe) -> str:
    if recipe.strength is None:
        return recipe.name
    part = recipe.ingredient(recipe.of or "")
    return f"{recipe.name}: {say.show_number(recipe.strength)} % w/v {part.what if part else recipe.of}"


def _volume(recipe: Recipe) -> str:
    old = say.show_old(recipe.volume)
    return say.show_amount(recipe.volume) + (f" ({old})" if old else "")


def _ingredients(recipe: Recipe, sources: _Sources) -> list[str]:
    amounts = [("to " if part.fills else "") + say.show_amount(part.amount) for part in recipe.ingredients]
    width = max(len(amount) for amount in amounts)
    lines: list[str] = []
    for part, amount in zip(recipe.ingredients, amounts, strict=True):
        old = say.show_old(part.amount)
        text = f"{part.what}{f' ({old})' if old else ''} {sources.mark(part.source)}"
        lines += _wrapped(text, f"  {amount:>{width}}  ")
        for caution in (*part.cautions, *say.drop_remarks(part.amount)):
            lines += _wrapped(caution, f"  {'':{width}}  ! ")
    taken = dict.fromkeys(part.amount.took for part in recipe.ingredients if part.amount.took)
    if taken:
        lines += _wrapped(f"Measures taken: {'; '.join(taken)}.", "  ")
    return lines


def _times(recipe: Recipe, sources: _Sources) -> list[str]:
    lines = []
    if recipe.ready is not None:
        text = f"Ready {say.say_days(recipe.ready.seconds)} after it was made"
        lines += _wrapped(f"{text} {sources.mark(recipe.ready.source)}")
    if recipe.keeps is not None:
        text = f"Keeps for {say.say_days(recipe.keeps.seconds)}"
        lines += _wrapped(f"{text} {sources.mark(recipe.keeps.source)}")
    return ["", *lines] if lines else []


def _wrapped(text: str, lead: str = "") -> list[str]:
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_on_hyphens=False,
        break_long_words=False,
    )
