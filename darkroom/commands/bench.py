"""`darkroom bench PROCESS`: straight to the bench with one plate ready."""

from __future__ import annotations

import click

from darkroom.commands.groups import NAME_OR_PATH, valid_text
from darkroom.errors import QuantityError
from darkroom.process.conditions import temperature_texts


@click.command(
    help="Go straight to the bench with one plate of PROCESS ready.\n\n"
    "PROCESS is a name of `darkroom process list` or the path of a process file. The first press starts "
    "its first stage; optional stages are skipped. Before it the usual cautions are shown, once a day, and "
    "what PROCESS wants confirmed is asked. The tool is red; this help is not.",
    epilog="Example: darkroom bench tintype --temperature bath=18C,developer=20C --exposure 2s,2s,4s",
)
@click.argument("process", type=NAME_OR_PATH, metavar="PROCESS")
@click.option("--temperature", help="20C for everything, or bath=18C,developer=20C.")
@click.option("--humidity", help="Of the room: 55 (per cent), or damp, ordinary, dry, very dry.")
@click.option("--exposure", help="8s, or the steps of a test plate: 2s,2s,4s.")
@click.option("--subject", help="What is on the plate.")
@click.pass_context
def bench(
    ctx: click.Context,
    process: str,
    temperature: str | None,
    humidity: str | None,
    exposure: str | None,
    subject: str | None,
) -> None:
    """Open the tool at the bench."""
    from darkroom.resources import load_process
    from darkroom.session.plate_form import PlateForm, check

    loaded = load_process(process)
    form = PlateForm(
        process=valid_text(process),
        exposure=exposure or "",
        humidity=humidity or "",
        subject=subject or "",
        temperatures=temperature_texts([temperature or ""]),
    )
    wrong = check(form)
    if wrong:
        raise QuantityError("; ".join(f"--{field.split()[0]}: {what}" for field, what in wrong.items()))
    from darkroom.screens.start import open_tool

    ctx.exit(open_tool(form=form, process=loaded))
