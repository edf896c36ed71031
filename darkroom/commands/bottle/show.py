"""`darkroom bottle show`: one bottle, with its plates, its strength, its life and its care."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    book_of,
    json_option,
    open_bottle,
    recipes_at_hand,
    say_problems,
)
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import harmless

if TYPE_CHECKING:
    from darkroom.solutions.joining import NotKnown


@click.command(
    help="Show a bottle: how many plates it served, how strong it is and on what that rests, what it needs, "
    f"and its life line by line.\n\n{A_BOTTLE} Plates count themselves; those of rehearsals never.\n\n"
    f"Example: darkroom bottle show B-1\n\n{NOT_RED}"
)
@click.argument("name")
@json_option
def show(name: str, as_json: bool) -> None:
    """Print a bottle."""
    from darkroom.commands.bottle.account_text import account_json, account_lines, care_json
    from darkroom.solutions.bottle_account import account
    from darkroom.solutions.recipe import name_key

    opened = open_bottle(name)
    bottle = opened.bottle
    recipes = recipes_at_hand(opened.home)
    book = book_of(opened.home, recipes, opened.now)
    uses = book.uses.get(bottle.id, ())
    told = account(bottle, recipes, uses, opened.now)
    dues = [due for due in book.dues if due.bottle == bottle.id]
    if as_json:
        print_json({**account_json(bottle, told), "care": [care_json(due) for due in dues]})
    else:
        for line in account_lines(bottle, told, dues, opened.shelf.bottles):
            click.echo(line)
    _say_not_known([one for one in book.unknown_plates if name_key(one.name) == name_key(bottle.name)])
    say_problems(opened.shelf.problems)


def _say_not_known(plates: Sequence[NotKnown]) -> None:
    """Say how many plates name this bottle where it may be another one, and why."""
    if plates:
        whose = "1 plate names" if len(plates) == 1 else f"{len(plates)} plates name"
        first = plates[0]
        click.echo(harmless(f"{whose} {first.name} and not this one for sure: {first.why}"), err=True)
