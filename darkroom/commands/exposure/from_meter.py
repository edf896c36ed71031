"""`darkroom exposure from-meter`: from a meter's reading to a time."""

from __future__ import annotations

import click

from darkroom.commands.exposure.options import ev_of, factor_stops, filter_stops, json_option, speed, value_of
from darkroom.commands.output import NOT_RED, print_json

ASSUMED_SPEED = 1.0
SPEED_SAYS = (
    f"speed: ISO {ASSUMED_SPEED:g} assumed, common practice, no source; exposure learn tells your own"
)
_UNITS = {"--ev": "ev", "--lux": "lux", "--foot-candles": "foot-candles"}


@click.command(
    help="Say how long to open the lens for what a light meter says.\n\n"
    "EV is the reading at ISO 100; lux and foot-candles are read with a flat receptor (ISO 2720, C = 250). A "
    "meter reads green and red, the plate sees violet and blue: the speed is that under such a light, 1 to 3 "
    "in daylight and a quarter or less of that under lamps (common practice, no source).\n\n"
    f"Example: darkroom exposure from-meter --speed 1 --f 5.6 --ev 10 --bellows 1.4\n\n{NOT_RED}"
)
@click.option(
    "--speed", "speed_text", metavar="ISO", help="The plate's own speed; 1 is assumed, if left out."
)
@click.option("--f", "f_text", metavar="NUMBER", required=True, help="The f-number, as 5.6.")
@click.option("--ev", metavar="EV", help="The meter's EV at ISO 100.")
@click.option("--lux", metavar="LUX", help="Or light that falls on the subject, in lux.")
@click.option("--foot-candles", metavar="FC", help="Or the same in foot-candles.")
@click.option("--bellows", metavar="FACTOR", help="Of bellows extension: a factor as 1.4, or '1/2 stop'.")
@click.option("--filter", "filter_text", metavar="FACTOR", help="Of a filter: 2x, or '1 stop'.")
@json_option
def from_meter(
    speed_text: str | None,
    f_text: str,
    ev: str | None,
    lux: str | None,
    foot_candles: str | None,
    bellows: str | None,
    filter_text: str | None,
    as_json: bool,
) -> None:
    """Print the time for a reading."""
    from msgspec.structs import replace

    from darkroom.commands.exposure.planned_text import planned_as_json, planned_lines
    from darkroom.exposure.meter import metered
    from darkroom.process.text.lens_words import aperture

    lost = {}
    if bellows is not None:
        lost["bellows"] = value_of("--bellows", bellows, factor_stops)
    if filter_text is not None:
        lost["filter"] = value_of("--filter", filter_text, filter_stops)
    planned = metered(
        ASSUMED_SPEED if speed_text is None else value_of("--speed", speed_text, speed),
        value_of("--f", f_text, aperture),
        _ev({"--ev": ev, "--lux": lux, "--foot-candles": foot_candles}),
        lost,
    )
    if speed_text is None:
        planned = replace(planned, assumed=(*planned.assumed, SPEED_SAYS))
    if as_json:
        for sentence in planned.assumed:
            click.echo(sentence, err=True)
        print_json(planned_as_json(planned))
        return
    for line in planned_lines(planned, "from 1 s at f/1, EV 0 and ISO 100"):
        click.echo(line)


def _ev(readings: dict[str, str | None]) -> float:
    """Return the EV at ISO 100 of the one reading that was given."""
    from darkroom.errors import WrongUse

    given = {option: text for option, text in readings.items() if text is not None}
    if len(given) > 1:
        raise WrongUse(f"what does the meter say? {' and '.join(given)} are given: one of them is enough")
    if not given:
        raise WrongUse(f"what does the meter say? one of {', '.join(readings)} is needed")
    ((option, text),) = given.items()
    return value_of(option, text, lambda typed: ev_of(typed, _UNITS[option]))
