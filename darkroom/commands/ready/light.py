"""Sources of white light in a darkroom: measured where the machine has the value, else only named."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from darkroom import plain_files
from darkroom.commands.ready.checks import Check

BRIGHT_PANEL = 0.35
"""A panel above this part of its greatest brightness gets advice: even its black lets light through."""


def white_light(root: Path, environment: Mapping[str, str]) -> list[Check]:
    """Return advice on white light; `root` stands for /sys. Nothing here is a failure."""
    checks = [*_keyboards(root), *_panels(root)]
    if environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY"):
        checks += [
            Check(
                "lock",
                "advice",
                "a desktop locks itself with a bright page when nobody types",
                "turn the idle lock and the screen saver off for the session",
            ),
            Check(
                "notices",
                "advice",
                "notifications are white and come when they please",
                "turn them off, and the wireless with them",
            ),
            Check(
                "window",
                "advice",
                "the desktop's panel, title bars and pointer are not red",
                "run the terminal full screen; put the pointer in a corner",
            ),
        ]
    elif environment.get("SSH_CONNECTION"):
        checks.append(
            Check(
                "window",
                "advice",
                "this is a session from afar: the screen is another machine's",
                "look for these things on the machine whose screen stands in the darkroom",
            )
        )
    says = "a panel's own backlight leaks white even where it shows black"
    # testing for fog with a covered half is how safelights are tested: common practice, no source
    todo = "red film over the screen; then try it: half a sensitised plate covered, no edge may develop"
    checks.append(Check("film", "advice", says, todo))
    return checks


def _keyboards(root: Path) -> list[Check]:
    checks = []
    try:
        leds = sorted((root / "class/leds").glob("*kbd_backlight*"))
    except OSError:  # where nothing can be looked at, nothing is found
        leds = []
    for led in leds:
        level = _number(led / "brightness")
        if level is None:
            continue
        if level > 0:
            todo = "turn it off with its key, or cover the keyboard with red film"
            checks.append(Check("keyboard", "advice", f"the keyboard is lit ({led.name})", todo))
        else:
            checks.append(Check("keyboard", "works", "the keyboard's light is off"))
    return checks


def _panels(root: Path) -> list[Check]:
    checks = []
    for panel in sorted((root / "class/backlight").glob("*")):
        level, most = _number(panel / "brightness"), _number(panel / "max_brightness")
        if level is None or not most:
            continue
        says = f"the panel's backlight stands at {100 * level / most:.0f} %"
        if level / most > BRIGHT_PANEL:
            checks.append(Check("panel", "advice", says, "turn it down as far as the time can still be read"))
        else:
            checks.append(Check("panel", "works", says))
    return checks


def _number(path: Path) -> float | None:
    """Return the number in a file of the kernel; None where the file is missing or holds none."""
    try:
        return float(plain_files.read_start(path, 64))
    except (OSError, ValueError):
        return None
