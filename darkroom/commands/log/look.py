"""`darkroom log look`: the log on the full screen."""

from __future__ import annotations

import click

from darkroom.log.catalogue.filter_names import FILTERS

_FILTERS = "; ".join(f"{name}: {takes}" for name, takes in FILTERS.items() if takes[-1] != "C")


@click.command(
    help="Look back at the plates on the full screen: filter, judge, compare, see trends.\n\n"
    "The screen is the full-screen tool's, red until F9 makes it day.\n\n"
    f"WORDS are typed into its filter. Besides plain words it takes NAME:VALUE: {_FILTERS}; and a "
    "liquid's temperature as bath:18..20.\n\n"
    "Example: darkroom log look process:tintype stars:4..5"
)
@click.argument("words", nargs=-1)
@click.pass_context
def look(context: click.Context, words: tuple[str, ...]) -> None:
    """Open the log on the full screen."""
    from darkroom.errors import WrongUse
    from darkroom.log.catalogue import filter
    from darkroom.screens.start import open_tool

    text = " ".join(words)
    remarks = filter.parse(text).remarks
    if remarks:
        raise WrongUse(remarks[0])
    context.exit(open_tool(look_back=text))
