"""`darkroom bottle measure`: a reading is noted, and the strength told."""

from __future__ import annotations

from typing import Any

import click

from darkroom.commands.bottle.readings import reading_of, reading_options
from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    ask,
    json_option,
    open_bottle,
    reason_option,
    recipe_at_hand,
    uses_of,
    value_of,
    when_of,
    when_option,
    words_of,
    write,
    yes_option,
)
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import WrongUse


@click.command(
    help="Note what was measured in a bottle, and tell its strength.\n\n"
    f"{A_BOTTLE} Say which scale the hydrometer has: taking one for another shifts a 9 % bath by 0.2 %. In a "
    "used silver bath a hydrometer reads low: it holds at least what that says; an assay is right.\n\n"
    "Example: darkroom bottle measure B-1 --density 1.072 --at 24C\n\n"
    f"Example: darkroom bottle measure B-1 --volume 940mL --ph 3.5\n\n{NOT_RED}"
)
@click.argument("name")
@reading_options
@click.option("--ph", metavar="PH", help="The pH.")
@click.option("--volume", metavar="VOLUME", help="How much it holds, as 940mL.")
@reason_option
@when_option
@yes_option
@json_option
def measure(
    name: str,
    ph: str | None,
    volume: str | None,
    reason: str | None,
    when: str | None,
    yes: bool,
    as_json: bool,
    **readings: str | None,
) -> None:
    """Write what was measured; say the strength."""
    from darkroom.process.text import measures
    from darkroom.process.text.instants import instant_of
    from darkroom.process.text.numbers import plain
    from darkroom.solutions import events as ev
    from darkroom.solutions.bottle_strength import reads_low
    from darkroom.solutions.contents import substance_of
    from darkroom.solutions.measuring import LARGEST, measurement
    from darkroom.solutions.strength import USED_BATH
    from darkroom.solutions.warnings import warnings

    opened = open_bottle(name)
    bottle = opened.bottle
    recipe = recipe_at_hand(bottle)
    reading = reading_of(substance_of(bottle, None if recipe is None else recipe.of), **readings)
    happened = when_of(when, bottle)
    why = None if reason is None else words_of(reason, "--reason")
    lines: list[dict[str, Any]] = []
    if reading is not None:
        said = ", ".join(filter(None, (reading.reason, why))) or None
        lines.append({"what": reading.what, "value": reading.value, "celsius": reading.celsius})
        lines[-1] |= {"strength": reading.percent, "reason": said}
    if ph is not None:
        told = value_of(
            "--ph", ph, lambda text: measurement("ph", plain(text, least=-LARGEST, most=LARGEST, what="a pH"))
        )
        lines.append({**told.members, "reason": why})
    if volume is not None:
        told = value_of("--volume", volume, lambda text: measurement("volume", measures.volume(text)))
        lines.append({**told.members, "reason": why})
    if not lines:
        raise WrongUse("say what was measured: --density, --sg, --baume, --assay, --ph, --volume …")
    events = [ev.Measured(n=1, at="", up=None, **line) for line in lines]
    doubts = dict.fromkeys(said for event in events for said in warnings(bottle, event, opened.now))
    if doubts:
        ask([*doubts], yes)
    write(opened.home, bottle.id, [(ev.Measured, line) for line in lines], happened, bottle.name)
    instant = opened.now if happened is None else instant_of(happened) or opened.now
    low = (
        reading is not None
        and reading.hydrometer
        and reads_low(bottle, instant, uses_of(opened.home, bottle, opened.now))
    )
    if reading is not None and not as_json:
        for words in reading.says:
            click.echo(words)
        if reading.percent is not None:
            click.echo(f"{'at least ' if low else ''}{reading.percent:.2f} % w/v")
        if low:
            click.echo(USED_BATH)
    if as_json:
        percent = None if reading is None else reading.percent
        print_json({"bottle": bottle.id, "percent_wv": percent, "at_least": low, "measured": lines})
