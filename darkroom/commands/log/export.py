"""`darkroom log export`: the log taken elsewhere, as a table, lines, a report, sidecars or labels."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from darkroom.log.export.selection import Selection

FORMATS = ("csv", "jsonl", "html", "xmp", "labels")
NOT_RED = "Only the full-screen tool is red: this command writes in the terminal's own colours."


@click.command(
    help="Write plates to a file that other programs read.\n\n"
    "\b\n"
    "csv      a table, one row a plate, or a stage with --rows stages\n"
    "jsonl    JSON Lines, one object a plate with every event, or a stage\n"
    "html     a report with time lines, one file that stands alone and prints well\n"
    "xmp      a sidecar for the scan of each plate, into the folder PATH\n"
    "labels   labels for sleeves, an HTML page to print\n\n"
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
@click.option("--to", "to", metavar="PATH", required=True, type=click.Path(path_type=Path),
              help="The file to write; for xmp a folder, or one file that ends in .xmp.")  # fmt: skip
@click.option("--rows", type=click.Choice(("plates", "stages")), default="plates", show_default=True,
              help="What a row of csv or jsonl is.")  # fmt: skip
@click.option("--force", is_flag=True, help="Replace files that are there.")
@click.option("--rehearsals", is_flag=True, help="Rehearsals instead of plates.")
def export(
    form: str, plates: tuple[str, ...], day: str | None, filtered: str | None, everything: bool, to: Path,
    rows: str, force: bool, rehearsals: bool,
) -> None:  # fmt: skip
    """Export plates."""
    from darkroom.errors import WrongUse
    from darkroom.log.export import safe_write
    from darkroom.log.export.selection import choose
    from darkroom.log.store.paths import home

    if rows == "stages" and form not in ("csv", "jsonl"):
        raise WrongUse(f"--rows goes with csv and jsonl, not with {form}")
    chosen = choose(home(), plates, day, everything, rehearsals, filtered)
    if form == "xmp":
        written = _sidecars(chosen, to, force)
    else:
        safe_write.check(to, home(), force=force)
        what = "Rehearsals" if rehearsals else "Plates"
        title = f"{what} of {day}" if day else what if everything or len(chosen) > 1 else "A plate"
        written = [safe_write.write(to, _data(form, chosen, rows, title), home(), force=force)]
    for problem in chosen.problems:
        click.echo(str(problem), err=True)
    _say(len(chosen), written)


def _data(form: str, chosen: Selection, rows: str, title: str) -> Iterator[bytes]:
    from darkroom.log.export import csv_tables, html_report, json_lines, sleeve_labels

    kind: csv_tables.Rows = "stages" if rows == "stages" else "plates"
    if form == "csv":
        return csv_tables.table(chosen, kind)
    if form == "jsonl":
        return json_lines.lines(chosen, kind)
    if form == "html":
        return html_report.report(chosen, title)
    return sleeve_labels.labels(chosen, title)


def _sidecars(chosen: Selection, to: Path, force: bool) -> list[Path]:
    """Write a sidecar a plate. All names are looked at before the first is written."""
    from darkroom.errors import NotReadable, NotWritten, WrongUse
    from darkroom.log.export import safe_write, xmp_sidecars
    from darkroom.log.store.paths import home, printable

    single = to.suffix.lower() == ".xmp" and not to.is_dir()
    if single and len(chosen) > 1:
        raise WrongUse(f"{len(chosen)} plates need a folder, not the one file {printable(to)}")
    if not single and not to.is_dir():
        raise NotReadable(f"{printable(to)}: there is no such folder")
    names: dict[str, Path] = {}
    for told in chosen:
        name = xmp_sidecars.name(told)
        wanted = [name, f"{told.log.plate}.xmp", *(f"{told.log.plate}-{k}.xmp" for k in range(2, 100))]
        name = next(one for one in wanted if one.casefold() not in names)  # two plates on one scan
        names[name.casefold()] = safe_write.check(to if single else to / name, home(), force=force)
    written: list[Path] = []
    for told, path in zip(chosen, list(names.values()), strict=True):
        try:
            written.append(safe_write.write(path, [xmp_sidecars.sidecar(told)], home(), force=force))
        except NotWritten as error:
            raise NotWritten(f"{error}; {len(written)} of {len(chosen)} sidecars are written") from None
    return written


def _say(plates: int, written: list[Path]) -> None:
    from darkroom.log.store.paths import printable

    count = f"{plates} plate" if plates == 1 else f"{plates} plates"
    where = (
        printable(written[0])
        if len(written) == 1
        else f"{len(written)} files in {printable(written[0].parent)}"
    )
    click.echo(f"{count} written to {where}", err=True)
