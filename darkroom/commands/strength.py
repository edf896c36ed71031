"""`darkroom strength`: how strong a solution is, in every way it is said, and what brings it to another."""

from __future__ import annotations

import click

from darkroom.commands.exposure.options import json_option
from darkroom.commands.output import NOT_RED, print_json


@click.command(
    help="Say how strong a solution is, in every way it is said, and what to add to reach another.\n\n"
    "SUBSTANCE is silver-nitrate, hypo (crystals), hypo-anhydrous or ferrous-sulphate (crystals); every "
    "figure is of the substance as it is named. A hydrometer's reading is brought to 20 °C. Grains to the "
    "ounce with --at are the reading of a silver hydrometer. A used silver bath reads low: its reading is "
    "'at least'. JSON tells grains to the ounce of solution.\n\n"
    "SUBSTANCE alcohol takes --volume-percent or --mass-percent, and --to is by volume: the water that thins "
    "a spirit, which is less than their sum.\n\n"
    "Example: darkroom strength silver-nitrate --density 1.065 --at 24C --to 9 --volume 940mL --fill 1L\n\n"
    f"{NOT_RED}"
)
@click.argument("substance")
@click.option("--density", metavar="G/ML", help="What a hydrometer for density says, as 1.072.")
@click.option("--sg", metavar="NUMBER", help="Or one for specific gravity 20/20 °C.")
@click.option("--sg-60f", metavar="NUMBER", help="Or one for specific gravity 60/60 °F.")
@click.option("--baume", metavar="DEGREES", help="Or one in degrees Baumé (heavier than water, 145).")
@click.option("--percent", metavar="NUMBER", help="Or grams in 100 mL of solution (w/v).")
@click.option("--mass-percent", metavar="NUMBER", help="Or grams in 100 g of solution (w/w).")
@click.option("--volume-percent", metavar="NUMBER", help="Of alcohol: mL in 100 mL (v/v).")
@click.option("--grains-per-us-ounce", metavar="NUMBER", help="Or grains to the US fluid ounce.")
@click.option("--grains-per-imperial-ounce", metavar="NUMBER", help="Or grains to the imperial one.")
@click.option("--assay", metavar="MASS", help="Or an assay: the silver chloride of a --sample, weighed.")
@click.option("--sample", metavar="VOLUME", help="What was taken of the bath for it, as 10mL.")
@click.option("--at", metavar="TEMPERATURE", help="When the hydrometer was read; its own, if left out.")
@click.option("--marked", metavar="TEMPERATURE", help="What it is marked for, where not as usual.")
@click.option(
    "--of",
    "ounce_of",
    type=click.Choice(["solution", "water"]),
    help="What the ounce of the grains is of; solution, if left out.",
)
@click.option("--to", metavar="PERCENT", help="The strength wanted, w/v: says what to add.")
@click.option("--dilute", metavar="PARTS", help="Or what is made of it by parts, as '1 + 9' or '1 in 10'.")
@click.option("--volume", metavar="VOLUME", help="How much there is, as 940mL.")
@click.option("--fill", metavar="VOLUME", help="Fill up to this volume.")
@click.option("--stock", metavar="PERCENT", help="Add a stock of this strength, w/v, instead of crystals.")
@json_option
def strength(
    substance: str,
    sample: str | None,
    at: str | None,
    marked: str | None,
    ounce_of: str | None,
    to: str | None,
    dilute: str | None,
    volume: str | None,
    fill: str | None,
    stock: str | None,
    as_json: bool,
    **ways: str | None,
) -> None:
    """Print the strength, and what to add."""
    from darkroom.commands.strength_options import ALCOHOL, known_strength, mixture, named_substance

    given = {f"--{way.replace('_', '-')}": typed for way, typed in ways.items() if typed is not None}
    if substance.strip().lower() == ALCOHOL:
        from darkroom.commands import strength_spirit as spirits

        refused = {
            "--sample": sample,
            "--at": at,
            "--marked": marked,
            "--of": ounce_of,
            "--fill": fill,
            "--dilute": dilute,
        }
        spirit = spirits.read_spirit(given, to, volume, refused | {"--stock": stock})
        members, warnings, printed = spirits.as_json(spirit), spirits.warnings(), spirits.lines(spirit)
    else:
        from darkroom.commands import strength_text as text

        known = known_strength(named_substance(substance), given, at, marked, ounce_of, sample)
        mixed = mixture(known, to, dilute, volume, fill, stock)
        members, warnings, printed = (
            text.as_json(known, mixed),
            text.warnings(known, mixed),
            text.lines(known, mixed),
        )
    if as_json:
        for sentence in warnings:
            click.echo(sentence, err=True)
        print_json(members)
        return
    for line in printed:
        click.echo(line)
