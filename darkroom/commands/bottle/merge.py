"""`darkroom bottle merge`: another book of bottles is taken into this one."""

from __future__ import annotations

from pathlib import Path

import click

from darkroom.commands.output import NOT_RED


@click.command(
    help="Take the book of another log into this one, as often as you like.\n\n"
    "FOLDER is the folder of that log, or the folder bottles in it. Of each file the longer one counts; "
    "where two went apart the lines of both are kept, and it is said. FOLDER itself is never changed. "
    "Exit status: 0 all right, 1 when there is a problem.\n\n"
    f"Example: darkroom bottle merge /media/stick/darkroom\n\n{NOT_RED}"
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.pass_context
def merge(context: click.Context, folder: Path) -> None:
    """Take another book in, and say what came."""
    from darkroom.commands.bottle.shared import say_problems
    from darkroom.errors import harmless
    from darkroom.log.bottles.files import read_shelf
    from darkroom.log.bottles.merging import merge as merge_book
    from darkroom.log.store.paths import home

    merged = merge_book(home(), folder.expanduser())
    bottles = read_shelf(home()).bottles
    for came in merged.came:
        bottle = came.path.parent.name
        name = bottles[bottle].name if bottle in bottles else bottle
        lines = "1 line" if came.lines == 1 else f"{came.lines} lines"
        bench = came.path.name.removesuffix(".jsonl")
        click.echo(harmless(f"{name}: {lines} of bench {bench} came  ({bottle})"))
    if not merged.came:
        looked = "1 file" if merged.files == 1 else f"{merged.files} files"
        click.echo(f"nothing new in {looked}", err=True)
    say_problems(merged.problems)
    context.exit(1 if merged.problems else 0)
