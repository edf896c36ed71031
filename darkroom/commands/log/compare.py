"""`darkroom log compare`: two plates side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from darkroom.commands.log.shared import (
    find,
    json_option,
    rehearsals_option,
    say_problems,
)
from darkroom.commands.output import NOT_RED, print_json

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

    first_record, second_record = (read_record(find(word, rehearsals)) for word in (first, second))
    differing = differences(first_record, second_record)
    if as_json:
        import msgspec

        print_json(
            {
                "first": first_record.log.plate,
                "second": second_record.log.plate,
                "differences": msgspec.to_builtins(differing),
            }
        )
    else:
        rows = [
            ("", first_record.title, second_record.title),
            *(_row(difference) for difference in differing),
        ]
        widths = [max(len(row[column]) for row in rows) for column in range(3)]
        for row in rows if differing else []:
            click.echo("  ".join(f"{cell:{width}}" for cell, width in zip(row, widths, strict=True)).rstrip())
        if not differing:
            click.echo("no difference", err=True)
    say_problems([*first_record.log.problems, *second_record.log.problems])


def _row(difference: Difference) -> tuple[str, str, str]:
    from darkroom.log.plate.comparison import shown
    from darkroom.log.plate.line_text import clean

    return (
        clean(difference.what),
        clean(shown(difference.first, difference.unit)),
        clean(shown(difference.second, difference.unit)),
    )
