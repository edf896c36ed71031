"""`darkroom fault check`: what is wrong in files of faults, and between them."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click
import msgspec

from darkroom import resources
from darkroom.commands.checked_files import problem_as_json, verdict
from darkroom.commands.fault.shared import where
from darkroom.commands.groups import NAME_OR_PATH
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import FaultsError, NotReadable, Problem, harmless

if TYPE_CHECKING:
    from darkroom.faults.catalogue import Origin
    from darkroom.faults.merging import FilePart


@click.command(
    help="Check files of faults and causes and print every mistake in them, with file, line and key.\n\n"
    "A file is checked as if it lay in `profiles/faults/` in the folder of the log, beside the shipped ones: "
    "whether the causes that its faults name are there is checked too. Without a file your own are checked. "
    "`darkroom fault show --evidence` lists the figures that evidence can be of.\n\n"
    "With --json a list of {file, line, key, what, near}: null where a mistake has no line, no key or no "
    "nearest right word.\n\n"
    "Exit status: 0 all right, 1 something is wrong in a file, 2 a file cannot be read.\n\n"
    f"Example: darkroom fault check my-faults.yaml\n\n{NOT_RED}"
)
@click.argument("files", nargs=-1, metavar="[FILE]...", type=NAME_OR_PATH)
@click.option("--json", "as_json", is_flag=True, help="Print the mistakes as JSON.")
@click.pass_context
def check(context: click.Context, files: tuple[str, ...], as_json: bool) -> None:
    """Check files; print each problem; exit 1 on a mistake, 2 on a file that cannot be read."""
    from darkroom.faults.catalogue_file import names_in
    from darkroom.faults.merging import merge, unknown_causes

    own = [path for path, origin in resources.fault_files() if origin == "own"]
    asked = list(dict.fromkeys(Path(name) for name in files)) or own
    parts: list[FilePart] = []
    problems: list[Problem] = []
    unreadable = 0
    known: set[str] = set()
    named: dict[str, Mapping[tuple[str, str], int]] = {}
    for path in asked:
        try:
            parts.append(_read(path, "own"))
        except FaultsError as error:
            problems += error.problems
            ids, named[str(path)] = names_in(resources.read_bytes(path), str(path))
            known |= ids
        except NotReadable as error:
            unreadable += 1
            click.echo(harmless(str(error)), err=True)
    names = [str(path) for path in asked]
    every = [*_beside(asked, own), *parts]
    between = [*merge(every, complete=False)[1]]
    known |= {cause.id for part in every for cause in part.causes}
    named |= {part.file: part.named_on for part in parts}
    for file, lines in named.items():
        between += unknown_causes(file, lines, known)
    problems += [problem for problem in between if problem.file in names]
    problems.sort(key=lambda problem: (names.index(problem.file), problem.line or 0))
    if as_json:
        print_json([*map(problem_as_json, problems)])
    else:
        for problem in problems:
            click.echo(str(problem))
    wrong = len({problem.file for problem in problems})
    told = verdict(len(asked) - wrong - unreadable, wrong, unreadable)
    click.echo(told or "there is no file of your own in profiles/faults/ in the folder of the log", err=True)
    if not as_json:
        click.echo(where(), err=True)
    if wrong or unreadable:
        context.exit(NotReadable.exit_status if unreadable else FaultsError.exit_status)


def _read(path: Path, origin: Origin) -> FilePart:
    """Return what a file says. Raises FaultsError, NotReadable."""
    from darkroom.faults.catalogue_file import parse

    return msgspec.structs.replace(parse(resources.read_bytes(path), str(path)), origin=origin)


def _beside(asked: list[Path], own: list[Path]) -> list[FilePart]:
    """Return what the other files say; a file from elsewhere may repeat what one's own have."""
    known = set(map(os.path.realpath, asked))  # unlike Path.resolve it bears links that lead in a circle
    from_own = any(os.path.realpath(path) in known for path in own)
    parts: list[FilePart] = []
    for path, origin in resources.fault_files():
        if os.path.realpath(path) not in known:
            with suppress(FaultsError, NotReadable):  # it was not asked about
                parts.append(_read(path, origin if from_own else "shipped"))
    return parts
