"""`darkroom log compare`: two plates side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from darkroom.commands.log.shared import (
    find,
    json_option,
    print_json,
    rehearsals_option,
    say_problems,
)
from darkroom.commands.output import NOT_RED

if TYPE_CHECKING:
    from darkroom.log.plate.comparison import Difference


@click.command(
    help="Show in what two plates differ, the biggest difference first.\n\n"
    "Times weigh by their ratio: twice as long is as much as 10 °C, one stop or two stars.\n\n"
    f"Example: darkroom log compare 12 15\n\n{NOT_RED}"
)
@click.argument("first")
@click.argument("second")
@json_option
@rehearsals_option
def compare(first: str, second: str, as_json: bool, rehearsals: bool) -> None:
    """Compare two plates."""
    from darkroom.log.plate.comparison import differences
    from darkroom.log.plate.record import read_record

    one, other = (read_record(find(word, rehearsals)) for word in (first, second))
    found = differences(one, other)
    if as_json:
        import msgspec

        print_json(
            {"first": one.log.plate, "second": other.log.plate, "differences": msgspec.to_builtins(found)}
        )
    else:
        rows = [("", one.title, other.title), *(_row(difference) for difference in found)]
        widths = [max(len(row[column]) for row in rows) for column in range(3)]
        for row in rows if found else []:
            click.echo("  ".join(f"{cell:{width}}" for cell, width in zip(row, widths, strict=True)).rstrip())
        if not found:
            click.echo("no difference", err=True)
    say_problems([*one.log.problems, *other.log.problems])


def _row(one: Difference) -> tuple[str, str, str]:
    from darkroom.commands.log.account_text import clean
    from darkroom.log.plate.comparison import shown

    return clean(one.what), clean(shown(one.first, one.unit)), clean(shown(one.second, one.unit))
