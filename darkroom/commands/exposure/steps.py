"""`darkroom exposure steps`: the strips of a test plate."""

from __future__ import annotations

import click

from darkroom.commands.exposure.options import json_option, number, value_of
from darkroom.commands.output import NOT_RED, print_json


@click.command(
    help="Say how long to open the lens for each strip of a test plate.\n\n"
    "The whole plate gets the first opening; after each one the dark slide is pushed in by a strip. The "
    "totals are what the strips have got in all.\n\n"
    f"Example: darkroom exposure steps --first 2s --factor 2 --count 5\n\n{NOT_RED}"
)
@click.option("--first", metavar="TIME", required=True, help="What the first strip gets, as 2s.")
@click.option("--factor", metavar="TIMES", default="2", show_default=True, help="From strip to strip.")
@click.option("--count", metavar="STRIPS", default="5", show_default=True, help="How many strips.")
@json_option
def steps(first: str, factor: str, count: str, as_json: bool) -> None:
    """Print pulls and totals."""
    from darkroom.exposure.steps import FEWEST, LEAST_FACTOR, MOST, MOST_FACTOR
    from darkroom.exposure.steps import steps as laid_out
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
    typed = ",".join(f"{pull:.3g}s" for pull in test_plate.pulls)
    click.echo(f"as an exposure at the bench: {typed}")
