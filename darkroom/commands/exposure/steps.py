"""`darkroom exposure steps`: the strips of a test plate."""

from __future__ import annotations

from pathlib import Path

import click

from darkroom.commands.exposure.options import json_option, number, value_of
from darkroom.commands.output import NOT_RED, print_json

LOOKED_AT = 5
"""Of so many of the newest plates the first that can be read tells the wet time."""


@click.command(
    help="Say how long to open the lens for each strip of a test plate.\n\n"
    "The whole plate gets the first opening; after each one the dark slide is pushed in by a strip. The "
    "totals are what the strips have got in all. The lens stays open meanwhile; with a pause behind the "
    "times (2s,2s,4s pause 3s) it is capped while the slide is pushed.\n\n"
    f"Example: darkroom exposure steps --first 2s --factor 2 --count 5\n\n{NOT_RED}"
)
@click.option("--first", metavar="TIME", required=True, help="What the first strip gets, as 2s.")
@click.option("--factor", metavar="TIMES", default="2", show_default=True, help="From strip to strip.")
@click.option("--count", metavar="STRIPS", default="5", show_default=True, help="How many strips.")
@json_option
def steps(first: str, factor: str, count: str, as_json: bool) -> None:
    """Print pulls and totals."""
    from darkroom.exposure.by_hand import too_short
    from darkroom.exposure.steps import FEWEST, LEAST_FACTOR, MOST, MOST_FACTOR
    from darkroom.exposure.steps import steps as laid_out
    from darkroom.exposure.time_remarks import remarks
    from darkroom.log.store.paths import home
    from darkroom.process.text.durations import duration, show_short
    from darkroom.process.text.numbers import whole

    test_plate = laid_out(
        value_of("--first", first, duration),
        value_of("--factor", factor, number(LEAST_FACTOR, MOST_FACTOR, "a factor")),
        value_of("--count", count, lambda text: whole(text, least=FEWEST, most=MOST, what="strips")),
    )
    if as_json:
        print_json({"pulls": test_plate.pulls, "totals": test_plate.totals})
        return
    click.echo("strip      open    in all")
    for strip, (pull, total) in enumerate(zip(test_plate.pulls, test_plate.totals, strict=True), 1):
        click.echo(f"{strip:>5}{show_short(pull):>10}{show_short(total):>10}")
    shortest = min(test_plate.pulls)
    short = too_short(shortest)
    if short is not None:
        click.echo(f"the shortest opening, {show_short(shortest)}, is {short}")
    for remark in remarks(test_plate.totals[-1], _wet_time(home())):
        click.echo(remark)
    typed = ",".join(f"{pull:.3g}s" for pull in test_plate.pulls)
    click.echo(f"as an exposure at the bench: {typed}")


def _wet_time(home: Path) -> float | None:
    """Return the wet time of a plate like the latest of the log in seconds, None where nothing tells it."""
    from darkroom.bench.clocks import wet_window
    from darkroom.log.journal.find import newest
    from darkroom.log.plate.record import read_record

    states = (read_record(path).state for path in newest(home, LOOKED_AT))
    state = next((state for state in states if state is not None), None)
    return None if state is None else wet_window(state)
