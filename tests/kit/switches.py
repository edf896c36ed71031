"""Switches in the environment that change other programs of the toolkit and of its language, never ours."""

from __future__ import annotations

import os
import re
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

COMMANDS: tuple[tuple[str, ...], ...] = (
    ("log", "list"), ("log", "show", "1"), ("log", "check"), ("log", "trends"),
    ("process", "times", "tintype"), ("ready",), ("day",), ("sound", "list"), ("--help",),
    ("log", "--help"), ("log", "list", "--json"), ("log", "list", "--csv"), ("log", "show", "1", "--json"),
    ("log", "trends", "--json"),
    ("log", "compare", "1", "2"), ("process", "list"), ("process", "show", "tintype"), ("process", "check"),
    ("day", "--json"), ("sound", "--help"), ("--version",), ("no-such-command",), ("log", "show", "9999"),
)  # fmt: skip
"""Commands that print, in a log of two plates or more."""


def toolkit(folder: Path) -> dict[str, str]:
    """Return the toolkit's switches and those on colours; what they would write goes to `folder`."""
    return {
        "TEXTUAL": "devtools,debug", "TEXTUAL_PRESS": "6,6,q", "TEXTUAL_LOG": str(folder / "log"),
        "TEXTUAL_DRIVER": "nowhere:Driver", "TEXTUAL_DEBUG": "1", "TEXTUAL_SCREENSHOT": "1",
        "TEXTUAL_SCREENSHOT_LOCATION": str(folder), "TEXTUAL_SHOW_RETURN": "1", "TEXTUAL_FPS": "1",
        "TEXTUAL_COLOR_SYSTEM": "standard", "TEXTUAL_THEME": "nord", "TEXTUAL_ALLOW_SIGNALS": "1",
        "TEXTUAL_ANIMATIONS": "full", "NO_COLOR": "1", "FORCE_COLOR": "3", "ESCDELAY": "100000",
        "UNICODE_VERSION": "4.1.0",
    }  # fmt: skip


def language(folder: Path) -> dict[str, str]:
    """Return the switches of Python."""
    return {
        "PYTHONSTARTUP": str(folder / "log"), "PYTHONWARNINGS": "error", "PYTHONDEVMODE": "1",
        "PYTHONASYNCIODEBUG": "1", "PYTHONINSPECT": "1", "PYTHONUNBUFFERED": "1", "PYTHONTRACEMALLOC": "1",
        "PYTHONFAULTHANDLER": "1", "PYTHONHASHSEED": "7", "PYTHONBREAKPOINT": "os.abort",
        "PYTHONIOENCODING": "utf-8", "PYTHONOPTIMIZE": "2",
    }  # fmt: skip


def every(folder: Path) -> dict[str, str]:
    """Return all of them, and a size that is not the terminal's."""
    return toolkit(folder) | language(folder) | {"COLUMNS": "33", "LINES": "9"}


def printed(
    tool: Sequence[str], words: Sequence[str], home: Path, switches: Mapping[str, str]
) -> tuple[int, bytes, bytes]:
    """Run a command on a log; return its exit status, standard output and standard error."""
    names = every(home).keys()
    plain = {name: value for name, value in os.environ.items() if name not in names}
    env = {**plain, "DARKROOM_HOME": str(home), "LANG": "C.UTF-8", **switches}
    done = subprocess.run(
        [*tool, *words], stdin=subprocess.DEVNULL, capture_output=True, env=env, check=False, timeout=60
    )
    return done.returncode, done.stdout, done.stderr


def changed(tool: Sequence[str], words: Sequence[str], home: Path, folder: Path) -> str | None:
    """Return what every switch changes of a command and what it writes, None for nothing.

    `folder` is empty; what tells the time or how long something took is not compared.
    """
    plain = printed(tool, words, home, {})
    before = files(home)
    switched = printed(tool, words, home, toolkit(folder) | language(folder))
    name = " ".join(words)
    if found := [path.name for path in folder.iterdir()]:
        return f"{name}: files written: {found}"
    if files(home) != before:
        return f"{name}: the log changed"
    if switched[0] != plain[0] or _steady(switched[1]) != _steady(plain[1]):
        return f"{name}: status {switched[0]}: {switched[1][-200:]!r}"
    if _steady(switched[2]) != _steady(plain[2]):
        return f"{name}: said {switched[2][-200:]!r}"
    return None


def _steady(output: bytes) -> bytes:
    return re.sub(rb"\d\d:\d\d:\d\d|[\d.]+ ms", b"", output)


def files(home: Path) -> dict[str, tuple[int, int]]:
    """Return the size and the time of change of each file of a log but the catalogue, which is read."""
    found = (path for path in home.rglob("*") if path.is_file() and "catalogue" not in path.name)
    return {str(path): (path.stat().st_size, path.stat().st_mtime_ns) for path in found}
