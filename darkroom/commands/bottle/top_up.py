"""`darkroom bottle top-up`: measured, reckoned, asked, and both written."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.bottle.readings import reading_of, reading_options
from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    Line,
    Opened,
    ask,
    json_option,
    open_bottle,
    recipe_at_hand,
    recipes_of,
    uses_of,
    value_of,
    when_of,
    when_option,
    write,
    yes_option,
)
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import WrongUse, harmless

if TYPE_CHECKING:
    from darkroom.solutions.topping_up import Plan

SAID_WITH = {
    "strength": "give a reading, as --density 1.064 --at 24C",
    "volume": "say it with --volume",
    "stock": "say it with --stock",
}
"""{what is not known of a bottle: how it is said}."""


@click.command(
    help="Say what to add so that a bottle holds a strength, ask, and note that it went in.\n\n"
    f"{A_BOTTLE} Give a reading to have it noted first; without one the strength is that of the book. A used "
    "silver bath reads low, so what is reckoned from a hydrometer may be too much: that is said before any "
    "grams. Without --to, note what you added: --crystals, --water, --from. With --json nothing is written "
    "unless --yes is there.\n\n"
    "Example: darkroom bottle top-up B-1 --to 9 --density 1.064 --at 24C --volume 940mL --fill 1L\n\n"
    f"Example: darkroom bottle top-up C-7 --water 20mL --when yesterday\n\n{NOT_RED}"
)
@click.argument("name")
@click.option("--to", "to", metavar="STRENGTH", help="The strength to reach: per cent w/v as 9, or 90 g/L.")
@reading_options
@click.option("--volume", metavar="VOLUME", help="How much it holds now, as 940mL: noted as measured.")
@click.option("--fill", metavar="VOLUME", help="Fill it up to this, as 1L.")
@click.option("--stock", metavar="STRENGTH", help="Take a stronger stock in place of crystals, as 20.")
@click.option("--from", "source", metavar="NAME", help="The bottle of the book that the stock comes from.")
@click.option("--crystals", metavar="MASS", help="Without --to: what was added, as 10g.")
@click.option("--water", metavar="VOLUME", help="Without --to: water, spirit … that was added, as 20mL.")
@when_option
@yes_option
@json_option
def top_up(
    name: str,
    to: str | None,
    volume: str | None,
    fill: str | None,
    stock: str | None,
    source: str | None,
    crystals: str | None,
    water: str | None,
    when: str | None,
    yes: bool,
    as_json: bool,
    **readings: str | None,
) -> None:
    """Reckon, ask and write a topping up."""
    from darkroom.process.text import measures
    from darkroom.solutions import events as ev
    from darkroom.solutions import topping_up
    from darkroom.solutions.contents import substance_of
    from darkroom.solutions.finding import find
    from darkroom.solutions.warnings import warnings

    opened = open_bottle(name)
    bottle, bottles = opened.bottle, list(opened.shelf.bottles.values())
    recipe = recipe_at_hand(bottle)
    of = None if recipe is None else recipe.of
    uses = uses_of(opened.home, bottle, opened.now)
    try:
        plan = topping_up.plan(
            bottle,
            uses,
            of,
            opened.now,
            wanted=None if to is None else value_of("--to", to, measures.typed_percent),
            reading=reading_of(substance_of(bottle, of), **readings),
            volume=None if volume is None else value_of("--volume", volume, measures.volume),
            fill=None if fill is None else value_of("--fill", fill, measures.volume),
            stock=None if stock is None else value_of("--stock", stock, measures.typed_percent),
            source=None if source is None else find(bottles, source, opened.now).bottle,
            crystals=None if crystals is None else value_of("--crystals", crystals, measures.mass),
            water=None if water is None else value_of("--water", water, measures.volume),
        )
    except topping_up.NotSaid as error:
        raise WrongUse(f"{error}: {SAID_WITH[error.what]}") from None
    happened = when_of(when, bottle)
    event = ev.ToppedUp(n=1, at="", up=None, **plan.members)
    wanted = None if recipe is None else recipe.strength
    warned = warnings(
        bottle,
        event,
        opened.now,
        others=bottles,
        strength=plan.now,
        wanted=wanted,
        recipes=recipes_of(bottles, opened.home),
    )
    said = [*dict.fromkeys([*plan.cautions, *warned])]
    readings_taken: list[Line] = [(ev.Measured, members) for members in plan.measured]
    written = (bool(readings_taken) or plan.adds) and (yes or not as_json)
    if written and readings_taken:
        doubts = [ev.Measured(n=1, at="", up=None, **members) for members in plan.measured]
        slips = [*dict.fromkeys(said for one in doubts for said in warnings(bottle, one, opened.now))]
        if slips:
            ask(slips, yes)
        write(opened.home, bottle.id, readings_taken, happened, bottle.name, quiet=as_json)
    if not as_json:
        for words in said:  # before any grams
            click.echo(harmless(words), err=True)
        for words in plan.says:
            click.echo(harmless(words))
    if written and plan.adds:
        refused = "no topping up is written" + ("; the reading is" if readings_taken else "")
        if to is not None and not as_json:
            ask((), yes, "Has it gone in? It is noted with yes.", refused)
        elif said:
            ask(said if as_json else (), yes, refused=refused)
        _write_topped_up(opened, plan, happened, {one.id: one.name for one in bottles}, quiet=as_json)
    if as_json:
        print_json({"bottle": bottle.id, **_plain(plan), "warnings": said, "written": written})


def _write_topped_up(
    opened: Opened, plan: Plan, happened: str | None, names: dict[str, str], *, quiet: bool
) -> None:
    """Write the topping up, and what it took in the bottle that it came from."""
    from darkroom.solutions import events as ev

    bottle = opened.bottle
    if plan.taken is not None:  # first, so that what this bottle is said to hold is said after it
        source, millilitres = plan.taken
        drawn: Line = (ev.DrawnOff, {"volume": round(millilitres, 1), "to": bottle.id})
        write(opened.home, source, [drawn], happened, names.get(source, source), names=names, quiet=quiet)
    line: Line = (ev.ToppedUp, plan.members)
    write(opened.home, bottle.id, [line], happened, bottle.name, names=names, quiet=quiet)


def _plain(plan: Plan) -> dict[str, Any]:
    now, added = plan.now, plan.addition
    return {
        "now": None
        if now is None
        else {"percent_wv": now.percent_wv, "low": now.low, "high": now.high, "basis": now.basis},
        "add": None
        if added is None
        else {
            "crystals_g": added.crystals_g,
            "water_ml": added.water_ml,
            "stock_ml": added.stock_ml,
            "final_ml": added.final_ml,
        },
    }
