"""What the commands about the log share: options, the plain data of a plate, printing."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.progress import Progress
from darkroom.errors import Problem

if TYPE_CHECKING:
    from darkroom.log.journal.merge import PlateLog

A_PLATE = "PLATE is a plate's id, a unique start of one, or its number."
rehearsals_option = click.option("--rehearsals", is_flag=True, help="Look at rehearsals instead of plates.")
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


def plate_as_json(log: PlateLog) -> dict[str, Any]:
    """Return the JSON members of a plate. The keys are a contract with people's scripts."""
    start, ended = log.start, log.ended
    return {
        "plate": log.plate,
        "number": start.number if start else None,
        "process": process_name(log),
        "started": start.at if start else None,
        "ended": ended.at if ended else None,
        "how": ended.how if ended else None,
        "file": str(log.path),
        "files": [str(file) for file in log.files],
    }


def process_name(log: PlateLog) -> str | None:
    """Return the name of the plate's process, or None when it is lost."""
    name = log.start.process.get("name") if log.start else None
    return None if name is None else str(name)


def counted(number: int, word: str) -> str:
    """Return "1 plate", "2 plates"."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def find(word: str, rehearsals: bool) -> Path:
    """Return the first file of the plate that `word` names.

    Raises AmbiguousPlate with the list when several answer, NothingFound when none does.
    """
    from darkroom.log.journal import find
    from darkroom.log.store import paths

    if paths.is_plate_id(word.strip()):
        return find.find(paths.home(), word, rehearsals)
    from darkroom.log.catalogue.catalogue import Catalogue

    with Catalogue(paths.home()) as catalogue:
        with Progress() as progress:
            catalogue.check_within_a_minute(progress, helpers(), ())
        return catalogue.find(word, rehearsals)


def helpers() -> int:
    """Return how many processes may share a large fill of the catalogue."""
    import os

    return min(4, os.cpu_count() or 1)


def say_problems(problems: Iterable[Problem]) -> None:
    """Write problems to standard error, one a line."""
    for problem in problems:
        click.echo(str(problem), err=True)


def plain(problem: Problem) -> dict[str, Any]:
    """Return a problem as plain data."""
    return {"file": problem.file, "line": problem.line, "key": problem.key, "what": problem.what}
