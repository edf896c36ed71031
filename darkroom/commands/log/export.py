"""`darkroom log export`: the log taken elsewhere, as a table, lines, a report, sidecars, labels, tables."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from darkroom.commands.output import NOT_RED
from darkroom.commands.progress import Progress
from darkroom.log.export.registry import FORMATS

if TYPE_CHECKING:
    from darkroom.log.plate.columns import RowKind

_FORMATS_HELP = "\n".join(f"{form.name:7}  {form.help}" for form in FORMATS.values())
_BY_STAGE = " and ".join(form.name for form in FORMATS.values() if form.by_stage)
_WITH_PICTURES = " and ".join(form.name for form in FORMATS.values() if form.shows_pictures)
_EACH = " and ".join(form.name for form in FORMATS.values() if form.one_plate)
_FOLDER = " and ".join(form.name for form in FORMATS.values() if form.one_folder)


@click.command(
    help="Write plates to a file that other programs read.\n\n"
    "\b\n"
    f"{_FORMATS_HELP}\n\n"
    "PLATE is a plate's id, a unique start of one, or its number. A file that is there already is "
    "never replaced without --force.\n\n"
    f"Example: darkroom log export html --day 2026-03-01 --to day.html\n\n{NOT_RED}"
)
@click.argument("form", metavar="|".join(FORMATS), type=click.Choice(FORMATS))
@click.argument("plates", metavar="[PLATE]...", nargs=-1)
@click.option("--day", metavar="DATE", help="The plates of a local day, as 2026-03-01.")
@click.option(
    "--find",
    "filtered",
    metavar="FILTER",
    help='The plates that a filter of `darkroom log look` leaves, as "process:tintype stars:4..".',
)
@click.option("--all", "everything", is_flag=True, help="Every plate.")
@click.option(
    "--to",
    "to",
    metavar="PATH",
    required=True,
    type=click.Path(path_type=Path),
    help=f"The file to write; for {_EACH} a folder, or one file of that suffix; for {_FOLDER} a new folder.",
)
@click.option(
    "--rows",
    type=click.Choice(("plates", "stages")),
    default="plates",
    show_default=True,
    help=f"What a row of {_BY_STAGE} is.",
)
@click.option(
    "--embed",
    is_flag=True,
    help=f"Put the plates' pictures into {_WITH_PICTURES}, small, instead of linking them.",
)
@click.option("--force", is_flag=True, help="Replace files that are there.")
@click.option("--rehearsals", is_flag=True, help="Rehearsals instead of plates.")
def export(
    form: str,
    plates: tuple[str, ...],
    day: str | None,
    filtered: str | None,
    everything: bool,
    to: Path,
    rows: RowKind,
    embed: bool,
    force: bool,
    rehearsals: bool,
) -> None:
    """Export plates."""
    from darkroom.commands.log.fault_book import LogFaults
    from darkroom.errors import WrongUse, harmless
    from darkroom.log.export.pictures import Pictures
    from darkroom.log.export.registry import Wanted
    from darkroom.log.export.selection import choose
    from darkroom.log.export.write_export import write_export
    from darkroom.log.store.paths import home

    if (one_folder := FORMATS[form].one_folder) is not None:
        one_folder.check()
    if rows == "stages" and not FORMATS[form].by_stage:
        raise WrongUse(f"--rows goes with {_BY_STAGE}, not with {form}")
    if embed and not FORMATS[form].shows_pictures:
        raise WrongUse(f"--embed goes with {_WITH_PICTURES}, not with {form}")
    pictures = Pictures(to.expanduser().absolute().parent, embed=embed)
    with Progress() as progress:
        faults = LogFaults(home(), rehearsals, progress.step)
        chosen = choose(home(), plates, day, everything, rehearsals, filtered, progress.step)
        what = "Rehearsals" if rehearsals else "Plates"
        title = f"{what} of {day}" if day else what if everything or len(chosen) > 1 else "A plate"
        wanted = Wanted(rows=rows, title=title, pictures=pictures, faults=faults.book())
        written = write_export(FORMATS[form], chosen, to, home(), wanted=wanted, force=force)
    for problem in chosen.problems:
        click.echo(str(problem), err=True)
    _say(len(chosen), written)
    for text in (*pictures.said, *dict.fromkeys(faults.said)):
        click.echo(harmless(text), err=True)


def _say(plates: int, written: list[Path]) -> None:
    from darkroom.log.store.paths import printable

    count = f"{plates} plate" if plates == 1 else f"{plates} plates"
    where = (
        printable(written[0])
        if len(written) == 1
        else f"{len(written)} files in {printable(written[0].parent)}"
    )
    click.echo(f"{count} written to {where}", err=True)
