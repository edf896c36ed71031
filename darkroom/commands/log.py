"""`darkroom log`: list plates, show one, check the journals, add a note.

These commands write plain text in the terminal's own colours: only the full-screen tool is red.
Data go to standard output, problems to standard error.
"""

from __future__ import annotations

import click

from darkroom.commands.export import export
from darkroom.commands.log_list import list_, reindex
from darkroom.commands.log_parts import (
    A_PLATE,
    NOT_RED,
    counted,
    entry,
    json_option,
    plain,
    print_json,
    rehearsals_option,
    say_problems,
)
from darkroom.errors import Problem


@click.group(help=f"The plate log: what happened to each plate.\n\n{NOT_RED}")
def log() -> None:
    """Gather the commands about the log."""


@log.command(
    help="Show what a plate went through: each stage planned and actual, temperatures, marks, notes.\n\n"
    f"{A_PLATE}\n\n"
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
            "problems": [plain(problem) for problem in one.problems],
        })  # fmt: skip
    else:
        for line in told(one, story):
            click.echo(line)
    say_problems(one.problems)


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
            {"plates": count, "problems": [plain(problem) for problem in problems], "elsewhere": spilled}
        )
    else:
        for problem in problems:
            click.echo(str(problem))
        for file in spilled:
            click.echo(f"{file}: lies outside the log; it is read with its plate", err=True)
        wrong = "no problem" if not problems else counted(len(problems), "problem")
        click.echo(f"{counted(count, 'plate')} read, {wrong}", err=True)
    context.exit(1 if problems else 0)


@log.command(
    help="Add a note to a plate that is not on the bench.\n\n"
    f"{A_PLATE}\n\n"
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


for command in (list_, reindex, export):
    log.add_command(command)
