"""`darkroom bottle show`: one bottle, with its plates, its strength, its life and its care."""

from __future__ import annotations

import click

from darkroom.commands.bottle.shared import A_BOTTLE, json_option, open_bottle, recipes_at_hand, say_problems
from darkroom.commands.output import NOT_RED, print_json


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
    from darkroom.commands.log.shared import helpers
    from darkroom.commands.progress import Progress
    from darkroom.log.catalogue.bottle_book import bottle_book
    from darkroom.solutions.bottle_account import account

    opened = open_bottle(name)
    bottle = opened.bottle
    recipes = recipes_at_hand(opened.home)
    with Progress() as progress:
        book = bottle_book(opened.home, recipes, opened.now, progress=progress, helpers=helpers())
    uses = book.uses.get(bottle.id, ())
    told = account(bottle, recipes, uses, opened.now)
    dues = [due for due in book.dues if due.bottle == bottle.id]
    if as_json:
        print_json({**account_json(bottle, told), "care": [care_json(due) for due in dues]})
    else:
        names = {one.id: one.name for one in opened.shelf.bottles.values()}
        for line in account_lines(bottle, told, dues, names):
            click.echo(line)
    say_problems([book.trouble] if book.trouble else [])
    say_problems(opened.shelf.problems)
