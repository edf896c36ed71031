"""`darkroom log show`: the account of one plate."""

from __future__ import annotations

import click

from darkroom.commands.log.shared import (
    A_PLATE,
    find,
    json_option,
    plain,
    plate_as_json,
    rehearsals_option,
    say_problems,
)
from darkroom.commands.output import NOT_RED, print_json


@click.command(
    help="Show what a plate went through: each stage planned and actual, temperatures, marks, notes.\n\n"
    f"{A_PLATE}\n\n"
    f"Example: darkroom log show 12\n\n{NOT_RED}"
)
@click.argument("plate")
@json_option
@rehearsals_option
def show(plate: str, as_json: bool, rehearsals: bool) -> None:
    """Show one plate."""
    from darkroom.commands.log.account_text import account_text_lines
    from darkroom.log.plate.late_strikes import late
    from darkroom.log.plate.own_speed import speed_as_plain
    from darkroom.log.plate.record import read_record

    record = read_record(find(plate, rehearsals))
    log, plate_account = record.log, record.account
    if as_json:
        import msgspec

        print_json(
            {
                **plate_as_json(log),
                **msgspec.to_builtins(plate_account),
                "late": [
                    {**msgspec.to_builtins(strike), "words": strike.words} for strike in late(plate_account)
                ],
                "scene": msgspec.to_builtins(record.scene),
                "own_speed": speed_as_plain(record),
                "events": [msgspec.to_builtins(event) for event in log.events],
                "problems": [plain(problem) for problem in log.problems],
            }
        )
    else:
        for line in account_text_lines(record):
            click.echo(line)
    say_problems(log.problems)
