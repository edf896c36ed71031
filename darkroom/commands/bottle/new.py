"""`darkroom bottle new`: a bottle is entered into the book."""

from __future__ import annotations

import click

from darkroom.commands.bottle.shared import (
    json_option,
    known_word,
    recipe_of,
    value_of,
    when_of,
    when_option,
    words_of,
    yes_option,
)
from darkroom.commands.output import NOT_RED, print_json


@click.command(
    help="Enter a bottle into the book: what is in it, and its name.\n\n"
    "WHAT is collodion, bath, developer, fixer, substratum, intensifier, varnish, cleaning, edging, stock or "
    "other. Volume, strength and how long it ripens are the recipe's where --recipe names one and they are "
    "left out. --from names bottles whose content went into it. A bath long in service is entered with "
    "--used: a hydrometer in it reads low, and it need not be iodised.\n\n"
    "Example: darkroom bottle new bath B-2 --recipe silver-bath --volume 1L\n\n"
    f"Example: darkroom bottle new collodion C-7 --batch 2026-05-14 --ripens 7d --when yesterday\n\n{NOT_RED}"
)
@click.argument("what")
@click.argument("name")
@click.option("--recipe", metavar="RECIPE", help="The recipe it was made by; its care is the bottle's.")
@click.option("--volume", metavar="VOLUME", help="How much it holds, as 1L.")
@click.option("--strength", metavar="STRENGTH", help="Per cent w/v as 9, or 90 g/L, or '40 gr/US fl oz'.")
@click.option("--batch", metavar="TEXT", help="The batch, as it stands on the label.")
@click.option("--ripens", metavar="TIME", help="How long it ripens before it is used, as 7d.")
@click.option("--used", is_flag=True, help="It has made plates before it came into the book.")
@click.option("--from", "sources", metavar="NAME", multiple=True, help="What went into it. Repeatable.")
@when_option
@yes_option
@json_option
def new(
    what: str,
    name: str,
    recipe: str | None,
    volume: str | None,
    strength: str | None,
    batch: str | None,
    ripens: str | None,
    used: bool,
    sources: tuple[str, ...],
    when: str | None,
    yes: bool,
    as_json: bool,
) -> None:
    """Write that a bottle was made."""
    from darkroom.commands.bottle.making import make
    from darkroom.process.text import measures
    from darkroom.solutions.events import WHATS
    from darkroom.solutions.making import Making, ripening

    file_name, read = (None, None) if recipe is None else recipe_of(recipe)
    made = make(
        Making(
            what=known_word(what, WHATS, "what a bottle can hold"),
            name=words_of(name, "NAME"),
            recipe=file_name,
            volume=None if volume is None else value_of("--volume", volume, measures.volume),
            strength=None if strength is None else value_of("--strength", strength, measures.typed_percent),
            batch=None if batch is None else words_of(batch, "--batch"),
            ripens=None if ripens is None else value_of("--ripens", ripens, ripening),
            used=used,
            sources=sources,
        ),
        read,
        when_of(when),
        yes=yes,
    )
    if as_json:
        print_json({"bottle": made.bottle, "name": made.name, "what": made.what})
