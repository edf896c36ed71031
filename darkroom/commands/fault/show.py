"""`darkroom fault show`: one fault with its causes, one cause, or the figures that evidence can be of."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

import click

from darkroom.commands.fault.shared import json_option, say_problems, where
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import WrongUse
from darkroom.session.cautions import FIRST

if TYPE_CHECKING:
    from darkroom.faults.catalogue import Catalogue
    from darkroom.faults.catalogue_words import Line

WIDTH = 80


@click.command(
    help="Show a fault: what it looks like, where, and what it comes from; of each cause how often it "
    "shows so, which figures of the record speak for it and against it and how they get recorded, the test "
    "to make first, the remedy with its cautions, the sources, and where the weights are from.\n\n"
    "FAULT is the name of a fault, in any case, or of a cause. --evidence lists the figures that "
    "evidence can be of. With --json the catalogue's entries: of a fault also its causes, in "
    "'cause_entries'.\n\n"
    f"Example: darkroom fault show 'general fog'\n\n{NOT_RED}"
)
@click.argument("name", metavar="FAULT", required=False)
@click.option("--evidence", "figures", is_flag=True, help="List the figures that evidence can be of.")
@json_option
def show(name: str | None, figures: bool, as_json: bool) -> None:
    """Print a fault, a cause, or the figures."""
    if (name is None) != figures:
        raise WrongUse("name a fault or a cause, or say --evidence: darkroom fault list shows the faults")
    if name is None:
        _figures(as_json)
        return
    from darkroom import resources
    from darkroom.faults import catalogue_words
    from darkroom.faults.finding import find_either

    catalogue, problems = resources.fault_catalogue()
    try:
        fault, cause = find_either(catalogue, name)
    finally:
        say_problems(problems)
    confirmed = ({}, 0) if as_json else _confirmed(catalogue)
    if fault is not None:
        plain = catalogue_words.as_plain(fault, catalogue)
        plain["cause_entries"] = {
            linked: catalogue_words.cause_as_plain(catalogue.causes[linked], catalogue)
            for linked in fault.causes
        }
        lines = catalogue_words.fault_lines(fault, catalogue, *confirmed)
    else:
        assert cause is not None  # what is neither was refused
        plain = catalogue_words.cause_as_plain(cause, catalogue)
        lines = catalogue_words.cause_lines(cause, catalogue, *confirmed)
    if as_json:
        print_json(plain)
        return
    if any(what == catalogue_words.BEWARE for _, what, _ in lines):
        lines.insert(1, (1, catalogue_words.BEWARE, FIRST))
    for line in _wrapped(lines):
        click.echo(line)
    click.echo()
    click.echo(where())


def _confirmed(catalogue: Catalogue) -> tuple[Mapping[str, int], int]:
    """Return ({cause: plates on which it was confirmed}, plates with a confirmed cause) of the log."""
    from darkroom.commands.log.shared import helpers
    from darkroom.commands.progress import Progress
    from darkroom.log.catalogue.plate_faults import confirmed_in
    from darkroom.log.store.paths import home

    with Progress() as progress:
        found = confirmed_in(home(), catalogue, progress=progress, helpers=helpers())
    return found.causes, found.plates


def _wrapped(lines: Iterable[Line]) -> Iterable[str]:
    for depth, what, text in lines:
        start = "  " * depth + (f"{what:8} " if what else "")
        yield from textwrap.wrap(text, WIDTH, initial_indent=start, subsequent_indent=" " * len(start)) or [
            ""
        ]


def _figures(as_json: bool) -> None:
    import msgspec

    from darkroom.faults.catalogue_words import evidence_lines
    from darkroom.faults.evidence_names import NAMES

    if as_json:
        print_json([msgspec.to_builtins(name) for name in NAMES])
        return
    for row in _wrapped(evidence_lines()):
        click.echo(row)
