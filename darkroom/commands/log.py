"""`darkroom log`: list plates, show one, check the journals, add a note.

These commands write plain text in the terminal's own colours: only the full-screen tool is red.
Data go to standard output, problems to standard error.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.export import export
from darkroom.errors import Problem

if TYPE_CHECKING:
    from darkroom.log.merging import PlateLog

NOT_RED = "Only the full-screen tool is red: this command writes in the terminal's own colours."
rehearsals_option = click.option("--rehearsals", is_flag=True, help="Look at rehearsals instead of plates.")
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


@click.group(help=f"The plate log: what happened to each plate.\n\n{NOT_RED}")
def log() -> None:
    """Gather the commands about the log."""


@log.command(
    "list",
    help="List the plates, newest first.\n\n"
    "With --json: a list of objects with plate, number, process, started, ended, how, file and files; "
    "ended and how are null while a plate is on the bench.\n\n"
    f"Example: darkroom log list --json\n\n{NOT_RED}",
)
@json_option
@rehearsals_option
def list_(as_json: bool, rehearsals: bool) -> None:
    """List the plates."""
    from darkroom.log.house import home
    from darkroom.log.recovery import read_plate, survey

    found = survey(home(), rehearsals=rehearsals)
    plates = sorted((read_plate(path) for path in found.paths), key=lambda one: one.plate, reverse=True)
    if as_json:
        print_json([entry(one) for one in plates])
    else:
        for one in plates:
            click.echo(_line(one))
        if not plates:
            click.echo(f"no {'rehearsals' if rehearsals else 'plates'} in {home()}", err=True)
    _problems([*found.problems, *(problem for one in plates for problem in one.problems)])


@log.command(
    help="Show what a plate went through: each stage planned and actual, temperatures, marks, notes.\n\n"
    "PLATE is a plate's id, a unique start of one, or its number.\n\n"
    f"Example: darkroom log show 12\n\n{NOT_RED}"
)
@click.argument("plate")
@json_option
@rehearsals_option
def show(plate: str, as_json: bool, rehearsals: bool) -> None:
    """Show one plate."""
    from darkroom.commands.log_text import told
    from darkroom.log.account import account
    from darkroom.log.house import home
    from darkroom.log.recovery import find, read_plate

    one = read_plate(find(home(), plate, rehearsals))
    story = account(one)
    if as_json:
        import msgspec

        print_json({
            **entry(one), **msgspec.to_builtins(story),
            "events": [msgspec.to_builtins(event) for event in one.events],
            "problems": [_plain(problem) for problem in one.problems],
        })  # fmt: skip
    else:
        for line in told(one, story):
            click.echo(line)
    _problems(one.problems)


@log.command(
    help="Read every journal and name each problem with its file and line.\n\n"
    "Nothing is changed. Exit status: 0 all right, 1 when there is a problem.\n\n"
    f"Example: darkroom log check\n\n{NOT_RED}"
)
@json_option
@rehearsals_option
@click.pass_context
def check(context: click.Context, as_json: bool, rehearsals: bool) -> None:
    """Check every journal."""
    from darkroom.log.house import home
    from darkroom.log.recovery import read_plate, survey

    found = survey(home(), rehearsals=rehearsals)
    problems: list[Problem] = list(found.problems)
    spilled: list[str] = []
    count = 0
    for path in found.paths:
        one = read_plate(path)
        count += 1
        problems.extend(one.problems)
        spilled.extend(str(file) for file in one.files if home() not in file.parents)
    if as_json:
        print_json(
            {"plates": count, "problems": [_plain(problem) for problem in problems], "elsewhere": spilled}
        )
    else:
        for problem in problems:
            click.echo(str(problem))
        for file in spilled:
            click.echo(f"{file}: lies outside the log; it is read with its plate", err=True)
        wrong = "no problem" if not problems else _count(len(problems), "problem")
        click.echo(f"{_count(count, 'plate')} read, {wrong}", err=True)
    context.exit(1 if problems else 0)


@log.command(
    help="Add a note to a plate that is not on the bench.\n\n"
    "PLATE is a plate's id, a unique start of one, or its number.\n\n"
    f'Example: darkroom log note 12 "thin at the upper corner"\n\n{NOT_RED}'
)
@click.argument("plate")
@click.argument("text")
@rehearsals_option
def note(plate: str, text: str, rehearsals: bool) -> None:
    """Add a note."""
    import time

    from darkroom.bench import events as ev
    from darkroom.devices.clock import stamp
    from darkroom.log import notes
    from darkroom.log.house import home
    from darkroom.log.recovery import find

    at = stamp(time.time())
    path = find(home(), plate, rehearsals)
    added = notes.add(home(), path, lambda n: ev.Note(n=n, at=at, up=None, text=text))
    click.echo(f"{path.name}: line {added.n}", err=True)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def entry(one: PlateLog) -> dict[str, Any]:
    """Return what a list says of a plate. The keys are a contract with people's scripts."""
    start, ended = one.start, one.ended
    return {
        "plate": one.plate,
        "number": start.number if start else None,
        "process": process_name(one),
        "started": start.at if start else None,
        "ended": ended.at if ended else None,
        "how": ended.how if ended else None,
        "file": str(one.path),
        "files": [str(file) for file in one.files],
    }


def process_name(one: PlateLog) -> str | None:
    """Return the name of the plate's process, or None when it is lost."""
    name = one.start.process.get("name") if one.start else None
    return None if name is None else str(name)


def _line(one: PlateLog) -> str:
    from darkroom.commands.log_text import clean, wall

    start, ended = one.start, one.ended
    if start is None:
        return f"{'?':>5}  {one.plate:24}  its first line is lost"
    how = ended.how if ended else ("on the rack" if one.racked else "on the bench")
    subject = f"  {start.subject}" if start.subject else ""
    return clean(
        f"{start.number:>5}  {one.plate:24}  {wall(start.at)}  {how:12}  {process_name(one)}{subject}"
    )


def _problems(problems: Iterable[Problem]) -> None:
    for problem in problems:
        click.echo(str(problem), err=True)


def _plain(problem: Problem) -> dict[str, Any]:
    return {"file": problem.file, "line": problem.line, "key": problem.key, "what": problem.what}


def print_json(value: object) -> None:
    """Print a value as JSON."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=2, default=_unknown))


def _unknown(value: object) -> object:
    if isinstance(value, Path):
        return str(value)
    raise TypeError(f"{type(value).__name__} cannot be printed as JSON")


log.add_command(export)
