"""What else can throw white light into a darkroom: found where the machine tells, else only said."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from darkroom.commands.ready.checks import Check

BRIGHT_PANEL = 0.35
"""A panel above this part of its greatest brightness is worth a word: even its black lets light through."""


def white_light(root: Path, environment: Mapping[str, str]) -> list[Check]:
    """Return advice on white light; `root` stands for /sys. Nothing here is a failure."""
    found = [*_keyboards(root), *_panels(root)]
    if environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY"):
        found += [
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
        found.append(
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
    found.append(Check("film", "advice", says, todo))
    return found


def _keyboards(root: Path) -> list[Check]:
    found = []
    for led in sorted((root / "class/leds").glob("*kbd_backlight*")):
        level = _number(led / "brightness")
        if level is None:
            continue
        if level > 0:
            todo = "turn it off with its key, or cover the keyboard with red film"
            found.append(Check("keyboard", "advice", f"the keyboard is lit ({led.name})", todo))
        else:
            found.append(Check("keyboard", "works", "the keyboard's light is off"))
    return found


def _panels(root: Path) -> list[Check]:
    found = []
    for panel in sorted((root / "class/backlight").glob("*")):
        level, most = _number(panel / "brightness"), _number(panel / "max_brightness")
        if level is None or not most:
            continue
        says = f"the panel's backlight stands at {100 * level / most:.0f} %"
        if level / most > BRIGHT_PANEL:
            found.append(Check("panel", "advice", says, "turn it down as far as the time can still be read"))
        else:
            found.append(Check("panel", "works", says))
    return found


def _number(path: Path) -> float | None:
    """A file of the kernel that holds no number, or is not there, tells nothing."""
    try:
        return float(path.read_text("ascii"))
    except (OSError, ValueError):
        return None
