"""`darkroom exposure bellows`: what close work takes of the light."""

from __future__ import annotations

import click

from darkroom.commands.exposure.options import json_option, value_of
from darkroom.commands.output import NOT_RED, print_json


@click.command(
    help="Say by how many times longer to expose with the bellows drawn out.\n\n"
    "The extension is from the lens to the plate; with the magnification no length is needed.\n\n"
    f"Example: darkroom exposure bellows --focal 300mm --extension 450mm\n\n{NOT_RED}"
)
@click.option("--focal", metavar="LENGTH", help="Focal length, as 300mm or 12in.")
@click.option("--extension", metavar="LENGTH", help="From the lens to the plate.")
@click.option(
    "--magnification", metavar="TIMES", help="Or the picture's size against the thing's, as 1/2 or 1:2."
)
@json_option
def bellows(focal: str | None, extension: str | None, magnification: str | None, as_json: bool) -> None:
    """Print the factor."""
    from math import log2

    from darkroom.errors import WrongUse
    from darkroom.exposure.factor_text import stops_text, times_text
    from darkroom.exposure.factors import bellows_factor, magnification_factor, sharp_at
    from darkroom.process.text import lens_words
    from darkroom.process.text.measures import length

    says = []
    focal_length = None if focal is None else value_of("--focal", focal, length)
    if magnification is not None and extension is None:
        times = value_of("--magnification", magnification, lens_words.magnification)
        factor = magnification_factor(times)
        if focal_length is not None:
            says.append(f"the bellows are drawn out to {focal_length * (1 + times):.4g} mm")
    elif extension is not None and focal_length is not None and magnification is None:
        drawn = value_of("--extension", extension, length)
        factor = bellows_factor(focal_length, drawn)
        distance = sharp_at(focal_length, drawn)
        says.append(f"magnification {drawn / focal_length - 1:.3g}")
        says.append("sharp at infinity" if distance is None else f"sharp {distance:.4g} mm before the lens")
    else:
        raise WrongUse("either --focal and --extension are needed, or --magnification")
    if as_json:
        print_json({"factor": factor, "stops": log2(factor)})
        return
    click.echo(f"{times_text(log2(factor))}, {stops_text(log2(factor))}")
    for line in says:
        click.echo(line)
