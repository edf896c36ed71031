"""`darkroom bottle draw-off`: some of a bottle's content was taken out."""

from __future__ import annotations

import click

from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    ask,
    open_bottle,
    recipes_of,
    value_of,
    when_of,
    when_option,
    write,
    yes_option,
)
from darkroom.commands.output import NOT_RED
from darkroom.errors import WrongUse, harmless


@click.command(
    help="Say that some of a bottle's content was taken out, into another bottle of the book where --to "
    f"names one.\n\n{A_BOTTLE} The other bottle's volume is yours to measure.\n\n"
    f"Example: darkroom bottle draw-off B-1 --volume 100mL --to B-2\n\n{NOT_RED}"
)
@click.argument("name")
@click.option("--volume", metavar="VOLUME", help="How much, as 100mL; left out, it is not known.")
@click.option("--to", metavar="NAME", help="The bottle it went into.")
@when_option
@yes_option
def draw_off(name: str, volume: str | None, to: str | None, when: str | None, yes: bool) -> None:
    """Write that some was drawn off."""
    from darkroom.process.text import measures
    from darkroom.solutions import events as ev
    from darkroom.solutions.bottle_words import volume_text
    from darkroom.solutions.finding import find
    from darkroom.solutions.warnings import warnings

    opened = open_bottle(name)
    bottle, bottles = opened.bottle, opened.shelf.bottles
    millilitres = None if volume is None else value_of("--volume", volume, measures.volume)
    if millilitres is not None and bottle.volume is not None and millilitres > bottle.volume * 1.001:
        held = volume_text(bottle.volume)
        raise WrongUse(f"--volume: {bottle.name} holds {held} by the book; measure it first if it holds more")
    target = None if to is None else find(bottles.values(), to, opened.now).bottle
    if target is not None and target.id == bottle.id:
        raise WrongUse("--to: a bottle is not drawn off into itself")
    members = {"volume": millilitres, "to": None if target is None else target.id}
    event = ev.DrawnOff(n=1, at="", up=None, volume=millilitres, to=members["to"])
    recipes = recipes_of(bottles.values(), opened.home)
    said = warnings(bottle, event, opened.now, others=bottles.values(), recipes=recipes)
    if said:
        ask(said, yes)
    names = {} if target is None else {target.id: target.name}
    lines = [(ev.DrawnOff, members)]
    write(opened.home, bottle.id, lines, when_of(when, bottle), bottle.name, names=names)
    if target is not None:
        click.echo(harmless(f"{target.name}: measure its volume and its strength"), err=True)
