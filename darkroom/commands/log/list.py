"""`darkroom log list` and `darkroom log reindex`: the plates in the catalogue."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.log.query_options import filters, narrowed, query
from darkroom.commands.log.shared import (
    counted,
    helpers,
    json_option,
    rehearsals_option,
    say_problems,
)
from darkroom.commands.output import NOT_RED, print_json_list
from darkroom.commands.progress import Progress

if TYPE_CHECKING:
    from darkroom.log.catalogue.database import Row

CONTRACT = ("plate", "number", "process", "started", "ended", "how", "file", "files")
"""The members of a plate that people's scripts count on; others may be added after them."""

MORE = {
    "day": "day", "place": "place", "reason": "reason", "subject": "subject", "who": "who", "size": "size",
    "lens": "lens", "aperture": "aperture", "light": "light", "exposure": "exposure",
    "exposed_s": "exposed", "wet_used_s": "wet_used", "wet_estimated_s": "wet_about",
    "humidity_percent": "humidity", "humidity_from": "humidity_from", "stars": "stars",
    "exposure_stops": "exposure_stops", "best_strip": "best_strip", "faults": "faults", "next": "next",
    "scan": "scan", "camera": "camera", "holder": "holder", "f_number": "f_number", "ev": "ev",
    "exposure_word": "exposure_word",
}  # fmt: skip
"""{member: column of the catalogue}."""


@click.command(
    "list",
    help="List the plates, newest first.\n\n"
    "WORDS are looked for in everything that is written of a plate; all must be there.\n\n"
    "With --json: a list of objects with plate, number, process, started, ended, how, file, files and "
    "more; ended and how are null while a plate is on the bench. Exit status 1 when filters leave "
    "nothing.\n\n"
    "Example: darkroom log list ferns --stars 4..5 --temperature bath=18C..20C\n\n"
    f"Example: darkroom log list --json\n\n{NOT_RED}",
)
@filters
@click.option(
    "--sort",
    "order",
    type=click.Choice(("newest", "oldest", "stars", "process")),
    default="newest",
    show_default=True,
    help="The order.",
)
@click.option("--csv", "as_csv", is_flag=True, help="Print a table for a spreadsheet (RFC 4180).")
@json_option
@rehearsals_option
@click.pass_context
def list_(context: click.Context, /, as_json: bool, as_csv: bool, **options: Any) -> None:
    """List the plates."""
    from darkroom.errors import WrongUse
    from darkroom.log.catalogue.catalogue import Catalogue
    from darkroom.log.catalogue.schema import FOR_LISTS, FOR_READY_LINES
    from darkroom.log.store.paths import home

    if as_json and as_csv:
        raise WrongUse("--json or --csv, not both")
    plate_query = query(**options)
    plates: list[Row] = []
    lines: list[str] = []
    with Catalogue(home()) as catalogue:
        has_ready_lines = plate_query.leaves_all and not (as_json or as_csv)
        with Progress() as progress:
            catalogue.check_within_a_minute(
                progress, helpers(), FOR_READY_LINES if has_ready_lines else FOR_LISTS
            )
        if as_json or as_csv:
            plates = catalogue.plates(plate_query)
        else:
            lines = catalogue.line_texts(plate_query)
        problems = catalogue.problems_of(plate_query)
    if as_json:
        print_json_list(map(as_plain, plates))
    elif as_csv:
        _print_csv(plates)
    elif lines:
        click.echo("\n".join(lines))
    else:
        kind = "rehearsals" if plate_query.rehearsals else "plates"
        which = "such " if narrowed(plate_query) else ""
        click.echo(f"no {which}{kind} in {home()}", err=True)
    say_problems(problems)
    context.exit(1 if narrowed(plate_query) and not (plates or lines) else 0)


@click.command(
    help="Fill the catalogue anew from the journals.\n\n"
    "The catalogue is only an index: nothing is lost with it, and it keeps itself. This is for when it is "
    "doubted.\n\n"
    f"Example: darkroom log reindex\n\n{NOT_RED}"
)
def reindex() -> None:
    """Fill the catalogue anew."""
    from darkroom.log.catalogue.catalogue import Catalogue
    from darkroom.log.store.paths import home

    with Catalogue(home()) as catalogue:
        with Progress() as progress:
            count = catalogue.rebuild(progress, helpers())
        problems = catalogue.problems
        kept = catalogue.path is not None
    say_problems(problems)
    nowhere = "" if kept else "; there is nowhere to keep the catalogue"
    click.echo(f"{counted(count, 'plate')} read{nowhere}", err=True)


def as_plain(row: Row) -> dict[str, Any]:
    """Return a plate as the JSON list has it: the members of the contract first."""
    import json

    files = json.loads(row["files"])
    contract = {
        "plate": row["plate"],
        "number": row["number"],
        "process": row["process"],
        "started": row["started"],
        "ended": row["ended"],
        "how": row["how"],
        "file": files[0],
        "files": files,
    }
    assert tuple(contract) == CONTRACT
    further: dict[str, Any] = {member: row[column] for member, column in MORE.items()}
    further["faults"] = [fault.text for fault in row["faults"]]
    return {**contract, **further}


def _print_csv(rows: list[Row]) -> None:
    import csv
    import io

    from darkroom.log.export.csv_tables import cell

    text = io.StringIO(newline="")
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow([*CONTRACT[:-1], *MORE])
    for row in rows:
        plain = as_plain(row)
        plain["faults"] = "\n".join(plain["faults"]) or None
        table.writerow([cell(plain[name]) for name in (*CONTRACT[:-1], *MORE)])
    click.echo(text.getvalue().encode(), nl=False)
