"""`darkroom log check`: journals, days and bottles read, each problem named; spilled files brought home."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from darkroom.commands.log.shared import counted, json_option, plain, rehearsals_option
from darkroom.commands.output import NOT_RED, print_json
from darkroom.commands.progress import Progress
from darkroom.errors import Problem

if TYPE_CHECKING:
    from darkroom.log.journal.merge import PlateLog


@click.command(
    help="Read every journal, the sheet of every day and the book of bottles, and name each problem with its "
    "file and line.\n\n"
    "Nothing is changed, unless --bring-home copies the files that were written outside the log, when its "
    "disk failed, into the folders of their plates; the originals stay. "
    "Exit status: 0 all right, 1 when there is a problem.\n\n"
    f"Example: darkroom log check\n\n{NOT_RED}"
)
@click.option("--bring-home", is_flag=True, help="Copy files that lie outside into the log.")
@json_option
@rehearsals_option
@click.pass_context
def check(context: click.Context, as_json: bool, rehearsals: bool, bring_home: bool) -> None:
    """Check every journal, and with real plates the sheet of every day and the book of bottles."""
    from darkroom.log.bottles.files import check as check_bottles
    from darkroom.log.days import files as day_files
    from darkroom.log.journal import spill
    from darkroom.log.journal.find import survey
    from darkroom.log.journal.merge import read_plate
    from darkroom.log.store.paths import home

    surveyed = survey(home(), rehearsals=rehearsals)
    problems: list[Problem] = list(surveyed.problems)
    outside: dict[str, bool] = {}
    brought: list[tuple[str, Path]] = []
    count = 0
    with Progress() as progress:
        for path in surveyed.paths:
            log = read_plate(path)
            count += 1
            progress(count, len(surveyed.paths))
            if bring_home and spill.files_only_outside(home(), log):
                brought += _bring(log, problems)
                log = read_plate(path)
            problems.extend(log.problems)
            only_outside = {journal_file.path for journal_file in spill.files_only_outside(home(), log)}
            outside |= {str(file): file in only_outside for file in log.files if home() not in file.parents}
    days, of_days = (0, []) if rehearsals else day_files.read_all(home())
    bottles, of_bottles = (0, []) if rehearsals else check_bottles(home())
    problems += of_days + of_bottles
    if as_json:
        print_json(
            {
                "plates": count,
                "days": days,
                "bottles": bottles,
                "problems": [plain(problem) for problem in problems],
                "elsewhere": list(outside),
                "brought_home": [{"from": file, "to": str(copy)} for file, copy in brought],
            }
        )
    else:
        for problem in problems:
            click.echo(str(problem))
        for file, copy in brought:
            click.echo(f"{file}: copied to {copy}", err=True)
        for file, only_copy in outside.items():
            in_log = "" if only_copy else "; all its lines are in the log too"
            click.echo(f"{file}: lies outside the log; it is read with its plate{in_log}", err=True)
        verdict = "no problem" if not problems else counted(len(problems), "problem")
        click.echo(f"{counted(count, 'plate')} read{_and(days, bottles)}, {verdict}", err=True)
    context.exit(1 if problems else 0)


def _and(days: int, bottles: int) -> str:
    """Return what else was read: " and 3 days", ", 3 days and 2 bottles"."""
    others = [counted(count, word) for count, word in ((days, "day"), (bottles, "bottle")) if count]
    if not others:
        return ""
    return f" and {others[0]}" if len(others) == 1 else f", {others[0]} and {others[1]}"


def _bring(log: PlateLog, problems: list[Problem]) -> list[tuple[str, Path]]:
    """Copy the plate's spilled files home, while no tool can be writing them."""
    from darkroom.errors import NotSavedError
    from darkroom.log.journal import spill
    from darkroom.log.journal.append import BenchHeld
    from darkroom.log.store import changes
    from darkroom.log.store.paths import home

    copies = []
    bench = BenchHeld(home())
    try:
        for journal_file in spill.files_only_outside(home(), log):
            name = str(journal_file.path)
            if bench.running and log.ended is None:
                reason = "the plate is on the bench: the tool brings it home itself when it comes back"
                problems.append(Problem(name, None, None, reason))
                continue
            try:
                copy = spill.bring_home(home(), log, journal_file)
            except NotSavedError as error:
                problems.append(Problem(name, None, None, str(error).removeprefix(f"{name}: ")))
                continue
            changes.add(home(), copy)
            copies.append((name, copy))
    finally:
        bench.close()
    return copies
