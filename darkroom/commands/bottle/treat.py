"""`darkroom bottle treat`: something was done to a bottle's content."""

from __future__ import annotations

import click

from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    ask,
    known_word,
    open_bottle,
    recipes_of,
    when_of,
    when_option,
    words_of,
    write,
    yes_option,
)
from darkroom.commands.output import NOT_RED


@click.command(
    help="Say what was done to a bottle's content.\n\n"
    f"{A_BOTTLE} HOW is filtered, sunned, iodised, boiled-down, acid or alkali. What can hurt you or the "
    "bath is said, and asked about, before it is written: do it after you were asked, not before.\n\n"
    f"Example: darkroom bottle treat B-1 filtered\n\n"
    f'Example: darkroom bottle treat B-1 acid --amount "1 drop, nitric acid 1 + 11"\n\n{NOT_RED}'
)
@click.argument("name")
@click.argument("how")
@click.option("--amount", metavar="TEXT", help="How much, and of what.")
@when_option
@yes_option
def treat(name: str, how: str, amount: str | None, when: str | None, yes: bool) -> None:
    """Write a treatment, after its warnings."""
    from darkroom.process.text.instants import instant_of
    from darkroom.solutions import events as ev
    from darkroom.solutions.warnings import warnings

    word = known_word(how, ev.TREATMENTS, "a treatment")
    opened = open_bottle(name)
    bottle = opened.bottle
    happened = when_of(when, bottle)
    members = {"how": word, "amount": None if amount is None else words_of(amount, "--amount")}
    event = ev.Treated(n=1, at="", up=None, how=word, amount=members["amount"])
    instant = opened.now if happened is None else instant_of(happened) or opened.now
    bottles = opened.shelf.bottles.values()
    said = warnings(bottle, event, instant, others=bottles, recipes=recipes_of(bottles, opened.home))
    if said:
        ask(said, yes)
    write(opened.home, bottle.id, [(ev.Treated, members)], happened, bottle.name)
