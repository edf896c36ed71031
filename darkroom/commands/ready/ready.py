"""`darkroom ready`: what works on this machine and what does not, before the lamp goes out."""

from __future__ import annotations

import os
import threading
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.output import print_json
from darkroom.errors import NotReadable

if TYPE_CHECKING:
    from darkroom.commands.ready.checks import Check
    from darkroom.devices.thermometers.discover import Found

PATIENCE = 10.0
"""Looking for sensors may take so long: a broken bus answers slowly or never, in seconds."""


@click.command(
    help="Say what works here and what does not.\n\n"
    "Looks at the terminal, plays a test tone, writes to the disk for real, reads the settings, the kit, "
    "the key map, every process file and every sensor, and says what else can throw white light. Exit "
    "status: 0 when all that is needed works (a terminal that can be red, the clock, a folder that keeps "
    "what is written, files without a mistake that the tool cannot open without), else 1. What is only "
    "missing, as sound or a thermometer, is said with what happens without it. Only the full-screen tool "
    "is red: run this with the lights on.",
    epilog="Example: darkroom ready --json",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option(
    "--sys",
    "root",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("/sys"),
    show_default=True,
    help="Where the kernel shows its sensors.",
)
@click.pass_context
def ready(ctx: click.Context, as_json: bool, root: Path) -> None:
    """Run every check and print what it found."""
    from darkroom.commands.ready import checks, file_checks
    from darkroom.commands.ready.light import white_light
    from darkroom.log.store import paths

    try:
        root.stat()
    except FileNotFoundError:
        pass  # other systems have no such folder
    except OSError as error:
        raise NotReadable(f"{root}: {error.strerror}") from None
    home = paths.home()
    settings, about_settings = file_checks.settings(home)
    sensors = _sensors(root)
    results = [
        *checks.terminal(),
        *checks.clock(),
        *checks.sleep(),
        *checks.disk(home, paths.spill_places()),
        *about_settings,
        *file_checks.kit(home),
        *file_checks.key_map(home, settings.key_map if settings is not None else None),
        *file_checks.processes(home),
        *file_checks.day_sheet(home),
        *file_checks.mark_words(home),
        *file_checks.recipes(home),
        *file_checks.faults(home),
        *checks.sound(settings),
        *(checks.bound_sensors(settings.bindings, root) if settings is not None else []),
        *white_light(root, os.environ),
    ]
    all_needed_works = not any(check.state == "fails" for check in results)
    taken = settings.bindings if settings is not None else ()
    paste = _to_paste(sensors or [], [sensor.source for sensor in taken])
    if as_json:
        _print_checks_as_json(all_needed_works, results, sensors, paste)
    else:
        _print(results)
        _print_sensors(sensors, paste)
        click.echo("\nready" if all_needed_works else "\nnot ready: see what fails above", err=True)
    ctx.exit(0 if all_needed_works else 1)


def _sensors(root: Path) -> list[Found] | None:
    """Return the sensors of this machine, None when looking for them took too long."""
    from darkroom.devices.thermometers.discover import discover

    discovered: list[list[Found]] = []
    thread = threading.Thread(target=lambda: discovered.append(discover(root)), name="discover", daemon=True)
    thread.start()
    thread.join(PATIENCE)
    return discovered[0] if discovered else None


def _to_paste(sensors: list[Found], taken: list[str]) -> str:
    """Return lines of the settings for the sensors of the room, for sources that have none yet."""
    from darkroom.devices.thermometers.discover import to_paste
    from darkroom.process.model import SOURCES

    useful = [
        sensor
        for sensor in sensors
        if not sensor.inside and not (sensor.binding.humid and "humidity" in taken)
    ]
    free = [source for source in ("bath", "developer", *SOURCES) if source not in taken]
    return to_paste(useful, list(dict.fromkeys(free)))


def _print(results: list[Check]) -> None:
    labels = {"works": "ok    ", "advice": "note  ", "fails": "FAILS "}
    for about, group in groupby(results, key=lambda check: check.about):
        click.echo(about)
        for check in group:
            click.echo(f"  {labels[check.state]} {check.says}")
            if check.do and check.state != "works":
                click.echo(f"         {check.do}")


def _print_sensors(sensors: list[Found] | None, paste: str) -> None:
    click.echo("sensors of this machine")
    if sensors is None:
        click.echo(f"  looking for them took more than {PATIENCE:.0f} s: a sensor hangs")
        return
    if not sensors:
        click.echo("  none found; a text file with a number in it serves as well (kind: file)")
        return
    for sensor in sensors:
        place = " ".join(filter(None, (sensor.binding.device, sensor.binding.path, sensor.binding.channel)))
        inside = ", inside the machine" if sensor.inside else ""
        click.echo(f"  {sensor.binding.kind} {place}: {sensor.says}{inside}")
    if paste:
        click.echo("to bind them, put these lines into settings.yaml and mend the sources:")
        click.echo(paste)


def _print_checks_as_json(
    all_needed_works: bool, results: list[Check], sensors: list[Found] | None, paste: str
) -> None:
    plain: dict[str, Any] = {
        "ready": all_needed_works,
        "checks": [
            {"about": check.about, "state": check.state, "says": check.says, "do": check.do}
            for check in results
        ],
        "sensors": None if sensors is None else [_plain(sensor) for sensor in sensors],
        "paste": paste,
    }
    print_json(plain)


def _plain(sensor: Found) -> dict[str, Any]:
    return {
        "kind": sensor.binding.kind,
        "device": sensor.binding.device,
        "path": sensor.binding.path,
        "channel": sensor.binding.channel,
        "quantity": "per cent" if sensor.binding.humid else "celsius",
        "value": sensor.value,
        "why": sensor.why,
        "inside": sensor.inside,
    }
