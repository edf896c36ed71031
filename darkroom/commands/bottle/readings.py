"""Readings of a bottle's strength as options of a command: hydrometers, and the assay."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from darkroom.commands.bottle.shared import value_of
from darkroom.errors import WrongUse

if TYPE_CHECKING:
    from darkroom.solutions.measuring import Reading

Command = TypeVar("Command", bound=Callable[..., Any])

SCALES = {
    "density": "density",
    "sg": "sg",
    "sg_60f": "sg-60f",
    "baume": "baume",
    "grains_per_us_ounce": "silver-us",
    "grains_per_imperial_ounce": "silver-imperial",
}
"""{the option: the scale's name, as `hydrometer` has it; with a low line, as the book has it}."""


def reading_options(command: Command) -> Command:
    """Add the options of a reading to a command."""
    options = (
        click.option("--density", metavar="G_PER_ML", help="A hydrometer's density, as 1.072."),
        click.option("--sg", metavar="SG", help="Specific gravity 20/20 °C."),
        click.option("--sg-60f", metavar="SG", help="Specific gravity 60/60 °F."),
        click.option("--baume", metavar="DEGREES", help="Degrees Baumé (modulus 145)."),
        click.option("--grains-per-us-ounce", metavar="GRAINS", help="A silver hydrometer, US ounce."),
        click.option("--grains-per-imperial-ounce", metavar="GRAINS", help="A silver hydrometer, imperial."),
        click.option("--at", "at", metavar="TEMPERATURE", help="Its temperature then, as 24C."),
        click.option("--assay", metavar="MASS", help="Silver chloride weighed, as 0.76g; with --sample."),
        click.option("--sample", metavar="VOLUME", help="The volume that gave it, as 10mL."),
    )
    for option in reversed(options):
        command = option(command)
    return command


def reading_of(substance: str | None, **options: str | None) -> Reading | None:
    """Return the reading that the options of `reading_options` tell of a substance; None without one.

    A content without a table of densities gives a reading without a strength. Raises WrongUse for several
    readings at once, or parts that do not go together; QuantityError, BeyondTable for what cannot be.
    """
    at, assay, sample = options.pop("at"), options.pop("assay"), options.pop("sample")
    given = [(option, text) for option, text in options.items() if text is not None]
    if len(given) + (assay is not None) > 1:
        raise WrongUse("one reading of the strength at a time")
    if (assay is None) is not (sample is None):
        raise WrongUse("--assay and --sample go together: the mass of silver chloride, and of how much bath")
    if at is not None and not given:
        raise WrongUse("--at is the temperature of a hydrometer's reading: say the reading too")
    if assay is not None and sample is not None:
        return _assay(substance, assay, sample)
    return _hydrometer(substance, *given[0], at) if given else None


def _hydrometer(substance: str | None, option: str, text: str, at: str | None) -> Reading:
    from darkroom.process.text.numbers import plain
    from darkroom.process.text.temperatures import temperature
    from darkroom.solutions import measuring
    from darkroom.solutions.hydrometer import scale

    name, flag = SCALES[option], "--" + option.replace("_", "-")
    most = scale(name).most
    value = value_of(flag, text, lambda typed: plain(typed, least=0.0, most=most, what="a reading"))
    celsius = None if at is None else value_of("--at", at, temperature)
    what = name.replace("-", "_")
    found: Reading = value_of(flag, text, lambda _: measuring.reading_of(what, value, celsius, substance))
    return found


def _assay(substance: str | None, assay: str, sample: str) -> Reading:
    from darkroom.process.text import measures
    from darkroom.solutions.assay import silver_by_chloride
    from darkroom.solutions.measuring import Reading

    if substance != "silver-nitrate":
        raise WrongUse("--assay is for what holds silver nitrate")
    grams = value_of("--assay", assay, measures.mass)
    millilitres = value_of("--sample", sample, measures.volume)
    found = silver_by_chloride(grams, millilitres).percent_wv
    reason = f"{grams:g} g of silver chloride of {millilitres:g} mL"
    return Reading("assay", found, None, found, (reason,), hydrometer=False, reason=reason)
