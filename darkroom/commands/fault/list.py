"""`darkroom fault list`: every fault in a row of its own, with what it looks like."""

from __future__ import annotations

import textwrap

import click

from darkroom.commands.fault.shared import json_option, say_problems
from darkroom.commands.output import NOT_RED, print_json

WIDTH = 80


@click.command(
    help="List the faults that are known, with what each looks like.\n\n"
    "Your own files lie in `profiles/faults/` in the folder of the log: their faults and causes add to the "
    "shipped ones, or take the place of those of the same name, and are marked with *.\n\n"
    f"Example: darkroom fault list\n\n{NOT_RED}"
)
@json_option
def list_(as_json: bool) -> None:
    """Print the faults."""
    from darkroom import resources
    from darkroom.faults.catalogue_words import as_plain

    catalogue, problems = resources.fault_catalogue()
    if as_json:
        print_json([as_plain(fault, catalogue) for fault in catalogue.faults.values()])
    else:
        width = max((len(fault_id) for fault_id in catalogue.faults), default=0)
        for fault in catalogue.faults.values():
            own = "*" if fault.id in catalogue.own else " "
            start = f"{fault.id:{width}} {own} "
            for line in textwrap.wrap(
                fault.looks, WIDTH, initial_indent=start, subsequent_indent=" " * len(start)
            ):
                click.echo(line)
    say_problems(problems)
