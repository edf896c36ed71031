"""`darkroom bottle recipe`: the recipe whose care a bottle has is named."""

from __future__ import annotations

import click

from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    ask,
    open_bottle,
    recipe_of,
    recipes_of,
    when_of,
    when_option,
    write,
    yes_option,
)
from darkroom.commands.output import NOT_RED
from darkroom.errors import WrongUse, harmless


@click.command(
    help="Name the recipe whose care a bottle has, where none was named, or another one.\n\n"
    f"{A_BOTTLE} Its volume and strength stay what they are.\n\n"
    f"Example: darkroom bottle recipe B-1 silver-bath\n\n{NOT_RED}"
)
@click.argument("name")
@click.argument("recipe")
@when_option
@yes_option
def recipe(name: str, recipe: str, when: str | None, yes: bool) -> None:
    """Write which recipe a bottle has."""
    from darkroom.resources import checked_recipes
    from darkroom.solutions import events as ev
    from darkroom.solutions.making import not_at_hand
    from darkroom.solutions.warnings import warnings

    file_name, read = recipe_of(recipe)
    opened = open_bottle(name)
    bottle = opened.bottle
    if read.makes != bottle.what:
        raise WrongUse(f"the recipe {file_name} makes {read.makes}; {bottle.name} is {bottle.what}")
    event = ev.RecipeNamed(n=1, at="", up=None, recipe=file_name)
    others = opened.shelf.bottles.values()
    recipes = {**recipes_of(others, opened.home), file_name: read}
    warned = warnings(bottle, event, opened.now, others=others, recipes=recipes)
    said = [*filter(None, [read.warning]), *warned]
    if said:
        ask(said, yes)
    write(
        opened.home, bottle.id, [(ev.RecipeNamed, {"recipe": file_name})], when_of(when, bottle), bottle.name
    )
    if file_name not in checked_recipes(opened.home)[0]:
        click.echo(harmless(not_at_hand(file_name)), err=True)
