"""Surroundings of a tool that nobody chose: folders that are none, time zones that no clock has, masks."""

from __future__ import annotations

import json
import os
import signal
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tests.kit.odd_home import OddHome
from tests.kit.photographer import Photographer, shortened
from tests.kit.terminal import Terminal

MASKS = (0o000, 0o002, 0o022, 0o077, 0o777)
ZONES: tuple[bytes, ...] = (
    b"", b"UTC-99", b"UTC+24:59:59", b"A0B-30,M3.2.0,M11.1.0", b"nowhere/at all", b":/dev/zero",
    b":/etc/passwd", b":", b"z" * 5000,
    b"\x1b[31mX0", b"\xff\xfe", b"Europe/Berlin", b"<+14>-14", b"UTC-24", b"../../etc/passwd",
)  # fmt: skip
"""Values of TZ; some are right."""
GONE = "-"
"""A variable of this value is not set at all."""
PLACES: dict[str, dict[str, str]] = {
    "no HOME": {"HOME": GONE, "DARKROOM_HOME": GONE, "XDG_DATA_HOME": "{folder}/data"},
    "empty HOME": {"HOME": "", "DARKROOM_HOME": GONE, "XDG_DATA_HOME": "{folder}/data"},
    "HOME nowhere": {"HOME": "/nowhere/at/all", "XDG_STATE_HOME": GONE},
    "relative HOME": {"HOME": "user", "DARKROOM_HOME": GONE, "XDG_STATE_HOME": GONE},
    "relative XDG": {
        "HOME": "{folder}/user",
        "DARKROOM_HOME": GONE,
        "XDG_DATA_HOME": "data",
        "XDG_STATE_HOME": "x",
    },
    "no state": {"XDG_STATE_HOME": "/dev/null/state"},
    "no temporary folder": {"TMPDIR": "/nowhere"},
    "a file as temporary folder": {"TMPDIR": "/etc/passwd"},
    "empty home": {"DARKROOM_HOME": "", "HOME": "{folder}/user"},
    "relative home": {"DARKROOM_HOME": "../home"},
    "a file as home": {"DARKROOM_HOME": "/etc/passwd"},
    "below a file": {"DARKROOM_HOME": "/etc/passwd/home"},
    "a device as home": {"DARKROOM_HOME": "/dev/null"},
    "kernel files as home": {"DARKROOM_HOME": "/proc/self"},
    "another user's home": {"DARKROOM_HOME": "~nobody"},
    "nobody's home": {"DARKROOM_HOME": "~no-such-user"},
    "own home": {"DARKROOM_HOME": "~/log", "HOME": "{folder}/user"},
    "escapes in home": {"DARKROOM_HOME": "{folder}/\x1b]0;taken\x07\x1b[2J\u202egnp"},
    "lines in home": {"DARKROOM_HOME": "{folder}/a\nb\tc"},
    "no text in home": {"DARKROOM_HOME": "{folder}/caf\udce9"},
    "long home": {"DARKROOM_HOME": "{folder}/" + "h" * 300},
    "longer home": {"DARKROOM_HOME": "/h" * 4000},
}  # fmt: skip
"""{name: variables}; `{folder}` is a folder that is there."""
UNUSABLE = frozenset(
    {"a file as home", "below a file", "a device as home", "nobody's home", "long home", "longer home"}
)
"""Where no log can be: the tool says so and ends, whatever the command would have done."""


def surrounded(environment: dict[str, str], variables: dict[str, str], folder: Path) -> dict[str, str]:
    """Return an environment with variables set or taken away."""
    changed = {name: text.replace("{folder}", str(folder)) for name, text in variables.items()}
    return {name: text for name, text in (environment | changed).items() if text != GONE}


def open_to_others(folder: Path) -> list[str]:
    """Return each folder and file below one that somebody else may read or enter, or its user may not."""
    wrong = []
    for path in sorted(folder.rglob("*")):
        status = path.lstat()
        wanted = 0o700 if path.is_dir() else 0o600
        if not path.is_symlink() and status.st_mode & 0o777 != wanted:
            wrong.append(f"{path.relative_to(folder)}: {status.st_mode & 0o777:04o}")
    return wrong


def without_right_to_write() -> list[str]:
    """Return what to put before a command so that a folder's permissions count: root passes over them."""
    return ["setpriv", "--bounding-set=-dac_override,-dac_read_search", "--"] if os.geteuid() == 0 else []


def struck(tool: Sequence[str], env: dict[str, str], folder: Path) -> str | None:
    """Strike at the bench, end the tool and start it again; return what did not work, or None."""
    hand = Photographer(Path(env["DARKROOM_HOME"]), **env)
    hand.program = list(tool)
    with hand.terminal as terminal:
        try:
            hand.open("bench", str(shortened(folder)))
            hand.press("space")
            terminal.wait_until(lambda: lines_in(folder) != [])
            terminal.kill(signal.SIGTERM)
            terminal.wait()
        except (AssertionError, TimeoutError) as error:
            return f"no strike is kept: {_shown(terminal)}: {type(error).__name__}"
    return OddHome.comes_back(tool, env, folder)


def lines_in(folder: Path) -> list[dict[str, Any]]:
    """Return the lines of every journal below a folder, in the log and in the spill places, as JSON."""
    return [
        json.loads(line)
        for path in sorted(folder.rglob("2*-*-*.jsonl"))
        if path.parent.name != "days"
        for line in path.read_text(encoding="utf-8").rpartition("\n")[0].splitlines()
    ]


def _shown(terminal: Terminal) -> str:
    return " / ".join(line.strip() for line in terminal.screen().splitlines() if line.strip())[:300]
