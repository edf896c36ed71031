"""`darkroom exposure stop`: the f-number of a stop by its diameter."""

from __future__ import annotations

import click

from darkroom.commands.exposure.options import json_option, number, value_of
from darkroom.commands.output import NOT_RED, print_json


@click.command(
    help="Say which f-number a stop is, by the focal length and the diameter of its opening.\n\n"
    "A stop between two groups of glasses looks larger from the front: --front is by how much, 1.05 to 1.3 "
    "in portrait lenses (from memory), 1 for a stop before the glass. The Uniform System's number, which old "
    "lenses bear, is N²/16.\n\n"
    f"Example: darkroom exposure stop --focal 12in --diameter 1.5in --front 1.1\n\n{NOT_RED}"
)
@click.option("--focal", metavar="LENGTH", required=True, help="Focal length, as 300mm or 12in.")
@click.option("--diameter", metavar="LENGTH", required=True, help="Diameter of the opening.")
@click.option("--front", metavar="TIMES", default="1", show_default=True, help="Magnification of the front.")
@json_option
def stop(focal: str, diameter: str, front: str, as_json: bool) -> None:
    """Print the f-number and the Uniform System's number."""
    from darkroom.exposure.factors import f_number, uniform_number
    from darkroom.process.text.lens_words import FRONT, believed
    from darkroom.process.text.measures import length

    lengths = value_of("--focal", focal, length), value_of("--diameter", diameter, length)
    times = value_of("--front", front, number(*FRONT, "a magnification"))
    value = value_of("--diameter", diameter, lambda _: believed(f_number(*lengths, times)))
    if as_json:
        print_json({"f_number": value, "us_number": uniform_number(value)})
        return
    click.echo(f"f/{value:.3g}")
    click.echo(f"Uniform System {uniform_number(value):.3g}")
