"""`darkroom ready`: what works on this machine and what does not, before the lamp goes out."""

from __future__ import annotations

import json
import os
import threading
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from darkroom.commands.ready.checks import Check
    from darkroom.devices.thermometers.discover import Found

PATIENCE = 10.0
"""Looking for sensors may take so long: a broken bus answers slowly or never, in seconds."""


@click.command(epilog="Example: darkroom ready --json")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option(
    "--sys", "root", type=click.Path(file_okay=False, path_type=Path), default=Path("/sys"),
    show_default=True,
    help="Where the kernel shows its sensors.",
)  # fmt: skip
@click.pass_context
def ready(ctx: click.Context, as_json: bool, root: Path) -> None:
    """Say what works here and what does not.

    Looks at the terminal, plays a test tone, writes to the disk for real, reads the settings, the key
    map, every process file and every sensor, and says what else can throw white light. Exit status: 0
    when all that is needed works, 1 when something fails. Only the full-screen tool is red: run this
    with the lights on.
    """
    from darkroom.commands.ready import checks as looks
    from darkroom.commands.ready.light import white_light
    from darkroom.log.store import paths

    home = paths.home()
    settings, about_settings = looks.settings(home)
    sensors = _sensors(root)
    checks = [
        *looks.terminal(),
        *looks.disk(home, paths.spill_places()),
        *about_settings,
        *looks.key_map(home),
        *looks.processes(home),
        *looks.sound(settings),
        *(looks.bound(settings.bindings, root) if settings is not None else []),
        *white_light(root, os.environ),
    ]
    good = not any(check.state == "fails" for check in checks)
    taken = settings.bindings if settings is not None else ()
    paste = _to_paste(sensors or [], [one.source for one in taken])
    if as_json:
        _print_json(good, checks, sensors, paste)
    else:
        _print(checks)
        _print_sensors(sensors, paste)
        click.echo("\nready" if good else "\nnot ready: see what fails above", err=True)
    ctx.exit(0 if good else 1)


def _sensors(root: Path) -> list[Found] | None:
    """Return the sensors of this machine, None when looking for them took too long."""
    from darkroom.devices.thermometers.discover import discover

    found: list[list[Found]] = []
    looking = threading.Thread(target=lambda: found.append(discover(root)), name="discover", daemon=True)
    looking.start()
    looking.join(PATIENCE)
    return found[0] if found else None


def _to_paste(sensors: list[Found], taken: list[str]) -> str:
    """Return lines of the settings for the sensors of the room, for sources that have none yet."""
    from darkroom.devices.thermometers.discover import to_paste
    from darkroom.process.model import SOURCES

    useful = [one for one in sensors if not one.inside and not (one.binding.humid and "humidity" in taken)]
    free = [source for source in ("bath", "developer", *SOURCES) if source not in taken]
    return to_paste(useful, list(dict.fromkeys(free)))


def _print(checks: list[Check]) -> None:
    words = {"works": "ok    ", "advice": "note  ", "fails": "FAILS "}
    for about, group in groupby(checks, key=lambda check: check.about):
        click.echo(about)
        for check in group:
            click.echo(f"  {words[check.state]} {check.says}")
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
    for one in sensors:
        place = " ".join(filter(None, (one.binding.device, one.binding.path, one.binding.channel)))
        inside = ", inside the machine" if one.inside else ""
        click.echo(f"  {one.binding.kind} {place}: {one.says}{inside}")
    if paste:
        click.echo("to bind them, put these lines into settings.yaml and mend the sources:")
        click.echo(paste)


def _print_json(good: bool, checks: list[Check], sensors: list[Found] | None, paste: str) -> None:
    plain: dict[str, Any] = {
        "ready": good,
        "checks": [
            {"about": one.about, "state": one.state, "says": one.says, "do": one.do} for one in checks
        ],
        "sensors": None if sensors is None else [_plain(one) for one in sensors],
        "paste": paste,
    }
    click.echo(json.dumps(plain, ensure_ascii=False, indent=2))


def _plain(one: Found) -> dict[str, Any]:
    return {
        "kind": one.binding.kind,
        "device": one.binding.device,
        "path": one.binding.path,
        "channel": one.binding.channel,
        "quantity": "per cent" if one.binding.humid else "celsius",
        "value": one.value,
        "why": one.why,
        "inside": one.inside,
    }
