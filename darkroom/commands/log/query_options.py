"""The options of the commands that filter the log, and the catalogue's query made from them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from darkroom.log.catalogue.query import Query

F = TypeVar("F", bound=Callable[..., Any])

STATES = ("done", "unvarnished", "abandoned", "bench", "rack")

_OPTIONS = (
    click.argument("words", nargs=-1),
    click.option("--process", metavar="NAME", help="A part of the process's name."),
    click.option("--fault", metavar="NAME", help="A part of a fault's name."),
    click.option("--stars", metavar="N or A..B", help="So many stars, or from A to B."),
    click.option("--since", metavar="DATE", help="From this local day on, as 2026-03-01."),
    click.option("--until", metavar="DATE", help="Up to this local day, it included."),
    click.option(
        "--temperature",
        "temperatures",
        metavar="SOURCE=A..B",
        multiple=True,
        help="A reading between A and B, as bath=18C..20C, or about one; what was assumed does not count.",
    ),
    click.option("--state", type=click.Choice(STATES), help="How it ended, or where it is."),
)


def filters(command: F) -> F:
    """Add the filter options to a command; it gets them as keyword arguments."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def query(
    *,
    words: tuple[str, ...] = (),
    process: str | None = None,
    fault: str | None = None,
    stars: str | None = None,
    since: str | None = None,
    until: str | None = None,
    temperatures: tuple[str, ...] = (),
    state: str | None = None,
    rehearsals: bool = False,
    order: str = "newest",
) -> Query:
    """Return the query of the options. Raises WrongUse for a value that cannot be parsed."""
    from darkroom.log.catalogue import filter_values
    from darkroom.log.catalogue.query import Query

    return Query(
        words=" ".join(words),
        process=process,
        fault=fault,
        stars=None if stars is None else filter_values.stars(stars, "--stars"),
        since=None if since is None else filter_values.day(since, "--since"),
        until=None if until is None else filter_values.day(until, "--until"),
        temperature=dict(filter_values.source_range(text, "--temperature") for text in temperatures),
        state=state,
        rehearsals=rehearsals,
        order=order,
    )


def narrowed(plate_query: Query) -> bool:
    """Return whether the query has a condition that can leave plates out."""
    return len(plate_query.where()[1]) > 1
