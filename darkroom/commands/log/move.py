"""`darkroom log move`: move a strike that came too late."""

from __future__ import annotations

import click

from darkroom.commands.log.shared import A_PLATE, find, rehearsals_option
from darkroom.commands.output import NOT_RED


@click.command(
    help="Move a strike that came late: what it told of was over before.\n\n"
    f"{A_PLATE} STAGE is the stage whose end was struck; --strike names its start, or the clearing, instead. "
    "The move is a new line of the journal; what was struck stays in it, and --back moves the strike back. "
    "No strike passes the step before it or the one after it.\n\n"
    "Example: darkroom log move 12 drain --by -8min\n\n"
    f"Example: darkroom log move 12 drain --back\n\n{NOT_RED}"
)
@click.argument("plate")
@click.argument("stage")
@click.option("--by", metavar="TIME", help="How far: -8min, '2:30 earlier', +30s.")
@click.option("--back", is_flag=True, help="To where it was struck.")
@click.option(
    "--strike",
    "strike_kind",
    type=click.Choice(("start", "cleared", "end")),
    default="end",
    show_default=True,
    help="Which strike of the stage.",
)
@click.option("--reason", metavar="TEXT", help="Why it is moved.")
@rehearsals_option
def move(
    plate: str, stage: str, by: str | None, back: bool, strike_kind: str, reason: str | None, rehearsals: bool
) -> None:
    """Move a strike."""
    import time

    from darkroom.devices.clock import stamp
    from darkroom.errors import WrongUse
    from darkroom.log.journal import append
    from darkroom.log.plate import moved_strikes
    from darkroom.log.review.corrections import text_of
    from darkroom.log.store.paths import home

    if (by is None) is not back:
        raise WrongUse("say how far with --by, or --back")
    seconds = None if by is None else moved_strikes.parse_shift(by)
    path = find(plate, rehearsals)
    build = moved_strikes.move_builder(
        path,
        stage,
        moved_strikes.which_of(strike_kind),
        seconds,
        stamp(time.time()),
        None if reason is None else text_of(reason),
    )
    for line in append.add_all(home(), path, build):
        click.echo(f"{path.name}: line {line.n}", err=True)
