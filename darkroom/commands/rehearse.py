"""`darkroom rehearse PROCESS`: the same bench without chemistry, on a fast clock."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from darkroom.commands.groups import NAME_OR_PATH, valid_text
from darkroom.errors import QuantityError
from darkroom.process.conditions import temperature_texts
from darkroom.process.model import Process

if TYPE_CHECKING:
    from darkroom.session.liquids import Liquids

GUIDED_SPEED = 5.0
"""Slow enough to do each thing by hand, fast enough for one plate and the start of another."""
GUIDED_EXPOSURE = "20 s"
"""The exposure of a guided rehearsal that is given none: 4 s at its speed, long enough to see it count."""


def liquids_of(
    process: Process, typed_temperatures: dict[str, str], humidity: str | None, seed: int
) -> Liquids:
    """Return the liquids of a rehearsal: at first as typed, else as the process assumes."""
    from darkroom.process.text.humidity import humidity as humidity_percent
    from darkroom.process.text.temperatures import temperature
    from darkroom.session import liquids

    celsius = {
        **process.temperatures,
        **{source: temperature(text) for source, text in typed_temperatures.items()},
    }
    air = process.humidity if humidity is None else humidity_percent(humidity)
    return liquids.Liquids(0.0, celsius, seed=seed, humidity=air)


@click.command(
    help="Rehearse PROCESS: the same bench, no chemistry, a fast clock.\n\n"
    "PROCESS is a name of `darkroom process list` or the path of a process file. The liquids warm and cool "
    "by themselves. The plates are marked as rehearsal and kept apart from real ones. With --guided the "
    "bench says what to try next, and shows what a dead sound and a full disk look like. The tool is red; "
    "this help is not.",
    epilog="Example: darkroom rehearse tintype --speed 10 --temperature bath=16C --exposure 4s\n\n"
    "Example: darkroom rehearse clear-glass --guided",
)
@click.argument("process", type=NAME_OR_PATH, metavar="PROCESS")
@click.option("--speed", type=click.FloatRange(1, 100), help="So many times as fast as life. [20; guided 5]")
@click.option("--temperature", help="How the liquids begin: 20C for all, or bath=18C,developer=20C.")
@click.option("--humidity", help="Of the room: 55 (per cent), or damp, ordinary, dry, very dry.")
@click.option("--exposure", help="8s, or the steps of a test plate: 2s,2s,4s.")
@click.option("--subject", help="What is on the plate.")
@click.option("--guided", is_flag=True, help="Learn the bench in ten minutes, by doing.")
@click.option("--seed", type=int, default=1, show_default=True, help="The same number, the same weather.")
@click.pass_context
def rehearse(
    ctx: click.Context,
    process: str,
    *,
    speed: float | None,
    temperature: str | None,
    humidity: str | None,
    exposure: str | None,
    subject: str | None,
    guided: bool,
    seed: int,
) -> None:
    """Open the tool at the bench of a rehearsal."""
    from darkroom.resources import load_process
    from darkroom.session.plate_form import PlateForm, check

    loaded = load_process(process)
    typed_temperatures = temperature_texts([temperature or ""])
    # temperatures come from the rehearsal's thermometers, so the form has none
    form = PlateForm(
        process=valid_text(process),
        exposure=exposure or (GUIDED_EXPOSURE if guided else ""),
        humidity=humidity or "",
        subject=subject or "",
    )
    wrong = check(form)
    if wrong:
        raise QuantityError("; ".join(f"--{field.split()[0]}: {what}" for field, what in wrong.items()))
    liquids = liquids_of(loaded, typed_temperatures, humidity, seed)
    form.humidity = ""
    if speed is None:
        speed = GUIDED_SPEED if guided else 20.0
    from darkroom.screens.start import open_tool
    from darkroom.session.rehearsal import Rehearsal

    rehearsal = Rehearsal(speed=speed, guided=guided, liquids=liquids)
    ctx.exit(open_tool(form=form, process=loaded, rehearsal=rehearsal))
