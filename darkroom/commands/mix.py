"""`darkroom mix`: a recipe for the volume that is wanted, or for what is left of an ingredient.

It writes plain text in the terminal's own colours: only the full-screen tool is red.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from darkroom import resources
from darkroom.commands.groups import NAME_OR_PATH
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import NotReadable, Problem, QuantityError, RecipeError, WrongUse, harmless

if TYPE_CHECKING:
    from darkroom.solutions.recipe import Amount, Recipe


@click.command(
    help="Print a recipe as a bench card, with every amount for the volume you want.\n\n"
    "RECIPE is a name of the list, which `darkroom mix` alone prints, or a file. --make says how much; "
    "--with says what is left of an ingredient, and the card makes as much as that allows: of several the "
    "scarcest counts. Without either it is the recipe's own volume. Old measures are understood and stand "
    "beside the metric ones; of ounces say which: '20 US fl oz', '1/2 av oz'.\n\n"
    "Your own recipes lie in `profiles/solutions/` in the folder of the log; one with a shipped name takes "
    "its place. --check checks files and prints every mistake with file, line and key; exit status 0 all "
    "right, 1 something is wrong in a file, 2 a file cannot be read.\n\n"
    "With --bottle the bottle is entered into the book; see `darkroom bottle`.\n\n"
    f"Example: darkroom mix silver-bath --with silver-nitrate=45g\n\n{NOT_RED}"
)
@click.argument("names", nargs=-1, metavar="[RECIPE]", type=NAME_OR_PATH)
@click.option("--make", "volume", metavar="VOLUME", help="How much to make, as 1L or '20 US fl oz'.")
@click.option(
    "--with", "left", multiple=True, metavar="NAME=AMOUNT", help="What is left, as silver-nitrate=45g."
)
@click.option("--bottle", "bottle", metavar="NAME", help="Enter the bottle into the book under this name.")
@click.option("--when", metavar="TIME", help="With --bottle: when it was mixed, as yesterday or 14:20.")
@click.option("--yes", is_flag=True, help="With --bottle: ask nothing.")
@click.option("--check", "checking", is_flag=True, help="Check recipe files instead: RECIPE...")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def mix(
    context: click.Context,
    names: tuple[str, ...],
    volume: str | None,
    left: tuple[str, ...],
    bottle: str | None,
    when: str | None,
    yes: bool,
    checking: bool,
    as_json: bool,
) -> None:
    """Print a card, the list of recipes, or what is wrong in files; enter a bottle."""
    if checking:
        if not names or volume is not None or left or bottle is not None:
            raise WrongUse("--check goes with names or files of recipes, and with nothing else but --json")
        context.exit(_check(names, as_json))
    if volume is not None and left:
        raise WrongUse("--make says how much, --with what is left: one of them is enough")
    if not names:
        if volume is not None or left or bottle is not None:
            raise WrongUse("which recipe? darkroom mix alone lists them")
        _list(as_json)
        return
    if len(names) > 1:
        raise WrongUse(f"one recipe at a time, not {len(names)}: a name of several words has hyphens")
    path = resources.find_recipe(names[0])
    recipe, note = _scaled(resources.read_recipe(path), volume, left)
    if as_json:
        print_json(_as_json(path.stem, recipe))
    else:
        from darkroom.commands.mix_card import card

        for line in card(recipe, harmless(str(path)), note):
            click.echo(line)
    if bottle is not None:
        _enter(bottle, path.stem, recipe, when, yes)
    elif when is not None:
        raise WrongUse("--when says when a bottle was mixed: it goes with --bottle")


def _enter(bottle: str, name: str, recipe: Recipe, when: str | None, yes: bool) -> None:
    """Enter a bottle of the recipe into the book, after what must be said."""
    from darkroom.commands.bottle.making import make
    from darkroom.commands.bottle.shared import when_of, words_of
    from darkroom.solutions.making import Making

    making = Making(what=recipe.makes, name=words_of(bottle, "--bottle"), recipe=name)
    make(making, recipe, when_of(when), yes=yes)


def _scaled(recipe: Recipe, volume: str | None, left: tuple[str, ...]) -> tuple[Recipe, str]:
    """Return the recipe for what was asked, and what decided it. Raises QuantityError."""
    from darkroom.solutions.recipe_scale import to_ingredient, to_volume
    from darkroom.solutions.recipe_text import show_amount

    if volume is not None:
        try:
            return to_volume(recipe, _typed(volume, "mL")), ""
        except QuantityError as error:
            raise QuantityError(f"--make: {error}") from None
    allowed = [(recipe, "")] if not left else []
    for typed in left:
        name, equals, text = typed.partition("=")
        if not equals or not name.strip():
            raise WrongUse(f"--with: '{harmless(typed[:40])}' is not NAME=AMOUNT, as silver-nitrate=45g")
        try:
            amount = _typed(text)
            made = to_ingredient(recipe, name.strip(), amount)
        except QuantityError as error:
            raise QuantityError(f"--with: {error}") from None
        (part,) = recipe.called(name)
        allowed.append((made, f", as much as {show_amount(amount)} of {part.what} allows"))
    return min(allowed, key=lambda one: one[0].volume.value)


def _typed(text: str, unit: str | None = None) -> Amount:
    """Return an amount that was typed; of `unit` if that is given. Raises QuantityError."""
    from darkroom.process.text import amounts, measures
    from darkroom.solutions.recipe_parts import as_amount

    if unit == "mL":
        return as_amount(text, measures.read(text, "volume"), "mL")
    return as_amount(text, *amounts.amount(text))


def _as_json(name: str, recipe: Recipe) -> dict[str, object]:
    from darkroom.commands.mix_card import cautions
    from darkroom.solutions.recipe_text import took

    volume = recipe.volume
    return {
        "recipe": name,
        "makes": {"what": recipe.makes, "amount": _digits(volume), "unit": volume.unit, "took": volume.took},
        "items": [
            {"what": part.what, "amount": _digits(part.amount), "unit": part.amount.unit, "took": took(part)}
            for part in recipe.ingredients
        ],
        "cautions": cautions(recipe),
    }


def _digits(amount: Amount) -> float:
    """Return the number of an amount to nine digits that count: 10 nanograms of 10 grams are noise."""
    return float(f"{amount.value:.9g}")


def _list(as_json: bool) -> None:
    """Print the recipes that there are; one with mistakes is named on standard error."""
    listed = []
    for name, path in resources.recipes().items():
        try:
            listed.append((name, path, resources.read_recipe(path)))
        except (NotReadable, RecipeError):
            click.echo(harmless(f"{name} has mistakes: darkroom mix --check {path}"), err=True)
    if as_json:
        print_json(
            [
                {"recipe": name, "name": recipe.name, "makes": recipe.makes, "file": str(path)}
                for name, path, recipe in listed
            ]
        )
        return
    width = max((len(name) for name, _, _ in listed), default=0)
    for name, _, recipe in listed:
        click.echo(f"{harmless(name):{width}}  {recipe.name}")


def _check(names: tuple[str, ...], as_json: bool) -> int:
    """Check files, print each problem and the verdict; return the exit status."""
    from darkroom.commands.checked_files import problem_as_json, verdict

    problems: list[Problem] = []
    wrong, unreadable = 0, 0
    for name in names:
        try:
            resources.read_recipe(resources.find_recipe(name))
        except RecipeError as error:
            wrong += 1
            problems += error.problems
        except NotReadable as error:
            unreadable += 1
            click.echo(harmless(str(error)), err=True)
    if as_json:
        print_json([*map(problem_as_json, problems)])
    else:
        for problem in problems:
            click.echo(str(problem))
    click.echo(verdict(len(names) - wrong - unreadable, wrong, unreadable), err=True)
    if unreadable:
        return NotReadable.exit_status
    return RecipeError.exit_status if wrong else 0
