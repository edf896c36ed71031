"""The filters of the log on the command line, and what is typed there as a question to the catalogue."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any, TypeVar

import click

from darkroom.errors import WrongUse, nearest

if TYPE_CHECKING:
    from darkroom.log.catalogue import Query

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
        "--temperature", "temperatures", metavar="SOURCE=A..B", multiple=True,
        help="A reading between A and B, as bath=18C..20C; what was assumed does not count.",
    ),
    click.option("--state", type=click.Choice(STATES), help="How it ended, or where it is."),
)  # fmt: skip


def filters(command: F) -> F:
    """Give a command the filters, as its keyword arguments."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def query(
    *, words: tuple[str, ...] = (), process: str | None = None, fault: str | None = None,
    stars: str | None = None, since: str | None = None, until: str | None = None,
    temperatures: tuple[str, ...] = (), state: str | None = None, rehearsals: bool = False,
    order: str = "newest",
) -> Query:  # fmt: skip
    """Return the question. Raises WrongUse for a word in it that cannot be read."""
    from darkroom.log.catalogue import Query

    return Query(
        words=" ".join(words), process=process, fault=fault, stars=_stars(stars),
        since=_day(since, "--since"), until=_day(until, "--until"),
        temperature=dict(map(_range, temperatures)), state=state, rehearsals=rehearsals, order=order,
    )  # fmt: skip


def narrowed(asked: Query) -> bool:
    """Return whether the question leaves any plate out."""
    return len(asked.where()[1]) > 1


def _stars(text: str | None) -> tuple[int, int] | None:
    if text is None:
        return None
    found = re.fullmatch(r"\s*([0-5])?\s*(\.\.)?\s*([0-5])?\s*", text)
    if found is None or not (found[1] or found[3]) or (found[1] and found[3] and not found[2]):
        raise WrongUse(f"--stars: '{text}' is neither 0 to 5 nor a range such as 3..5")
    if found[2] is None:
        return int(found[1] or found[3]), int(found[1] or found[3])
    return int(found[1] or 0), int(found[3] or 5)


def _day(text: str | None, option: str) -> str | None:
    try:
        return None if text is None else date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise WrongUse(f"{option}: '{text}' is no date such as 2026-03-01") from None


def _range(text: str) -> tuple[str, tuple[float, float]]:
    from darkroom.process.model import SOURCES
    from darkroom.process.quantities import temperature

    source, sign, rest = (part.strip() for part in text.partition("="))
    least, dots, most = (part.strip() for part in rest.partition(".."))
    if not sign or not (least or most):
        raise WrongUse(f"--temperature: '{text}' is not of the form bath=18C..20C")
    if source not in SOURCES:
        near = nearest(source, SOURCES)
        hint = f" (did you mean '{near}'?)" if near else f": {', '.join(SOURCES)}"
        raise WrongUse(f"--temperature: '{source}' is no source{hint}")
    if not dots:
        most = least
    unit = re.sub(r"^[-+\u2212]?[0-9.,/ ]*", "", most)
    if least and unit and re.fullmatch(r"[-+\u2212]?[0-9.,]+", least):
        least += unit
    low = temperature(least) if least else -300.0
    high = temperature(most) if most else 1000.0
    if low > high:
        raise WrongUse(f"--temperature: '{text}' goes from warm to cold")
    return source, (low, high)
