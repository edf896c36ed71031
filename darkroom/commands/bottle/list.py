"""`darkroom bottle list`: every bottle in a row of its own."""

from __future__ import annotations

import click

from darkroom.commands.bottle.shared import book_of, json_option, recipes_at_hand, say_problems
from darkroom.commands.output import NOT_RED, print_json


@click.command(
    help="List the bottles: those in use first, then those that ripen or are set aside. Discarded ones are "
    "counted, and listed with --all; --json has them all.\n\n"
    f"Example: darkroom bottle list\n\n{NOT_RED}"
)
@click.option("--all", "every", is_flag=True, help="Discarded ones too.")
@json_option
def list_(every: bool, as_json: bool) -> None:
    """Print the bottles."""
    import time

    from darkroom.commands.bottle.account_text import account_json
    from darkroom.commands.bottle.rows import rows
    from darkroom.log.store.paths import home
    from darkroom.solutions.bottle_account import account

    now = time.time()
    recipes = recipes_at_hand(home())
    book = book_of(home(), recipes, now)
    shelf = book.shelf
    accounts = {
        bottle.id: account(bottle, recipes, book.uses.get(bottle.id, ()), now)
        for bottle in shelf.bottles.values()
    }
    if as_json:
        print_json([account_json(bottle, accounts[bottle.id]) for bottle in shelf.bottles.values()])
    elif shelf.bottles or not shelf.problems:  # of a book that cannot be read nobody knows that it is empty
        for line in rows(shelf.bottles.values(), accounts, book.dues, every=every):
            click.echo(line)
    say_problems(shelf.problems)
