"""Masks, time zones, folders that are none or may not be written: nothing ends the tool."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

from tests.kit.bounded_run import run
from tests.kit.odd_home import OddHome, environment
from tests.kit.odd_places import (
    MASKS,
    PLACES,
    UNUSABLE,
    ZONES,
    lines_in,
    open_to_others,
    struck,
    surrounded,
    without_right_to_write,
)
from tests.measure.attack.attempts import Attempts, tool

COMMANDS = (
    ("log", "list"), ("log", "check"), ("log", "trends"), ("log", "reindex"), ("day", "--note", "x"),
    ("day",), ("process", "list"), ("ready",), ("sound", "list"), ("log", "note", "1", "x"),
    ("bench", "clear-glass"),
    ("log", "export", "csv", "--all", "--to", "out.csv", "--force"),
)  # fmt: skip


def attack(short: bool) -> Attempts:
    """Try every mask, folder and time zone with the commands and at the bench."""
    attempts = Attempts()
    with tempfile.TemporaryDirectory() as name:
        top = Path(name)
        for mask in MASKS[: 1 if short else None]:
            _mask(attempts, _new(top, f"mask{mask:o}"), mask)
        for mode in (0o500, 0o000):
            _no_right_to_write(attempts, _new(top, f"closed{mode:o}"), mode)
        for place, variables in PLACES.items():
            folder = _new(top, place.replace(" ", "-"))
            env = surrounded(environment(folder), variables, folder)
            for words in COMMANDS[:: 6 if short else 1]:
                done = run([*tool(), *words], env, cwd=folder / "here")
                attempts.expect(done.wrong() is None, f"{place}: {' '.join(words)}: {done.wrong()}")
                if place in UNUSABLE and words[0] == "log":
                    attempts.expect(done.status == 2, f"{place}: {' '.join(words)}: status {done.status}")
            left = [path.name for path in (folder / "here").iterdir() if path.name != "out.csv"]
            attempts.expect(left == [], f"{place}: made in the folder it was started in: {left}")
        for number, zone in enumerate(ZONES):
            folder = _new(top, f"zone{number}")
            env = environment(folder) | {"TZ": os.fsdecode(zone)}
            for words in COMMANDS[:: 6 if short else 1]:
                done = run([*tool(), *words], env, cwd=folder / "here")
                attempts.expect(done.wrong() is None, f"TZ {zone[:20]!r}: {' '.join(words)}: {done.wrong()}")
            if not short or number == 1:
                wrong = struck(tool(), env, folder)
                attempts.expect(wrong is None, f"TZ {zone[:20]!r}: at the bench: {wrong}")
    return attempts


def _new(top: Path, name: str) -> Path:
    """Return a folder with those that an environment names, and one to be in."""
    folder = top / name
    for inside in ("home", "state", "tmp", "user", "data", "here"):
        (folder / inside).mkdir(parents=True, mode=0o700)
    return folder


def _mask(attempts: Attempts, folder: Path, mask: int) -> None:
    """Make everything there is under a mask: all of it is 0700 or 0600, and an export as the mask has it."""
    under = ["sh", "-c", f'umask {mask:o}; exec "$@"', "sh", *tool()]
    for inside in ("home", "state"):
        shutil.rmtree(folder / inside)
    env = environment(folder)
    wrong = struck(under, env, folder)
    attempts.expect(wrong is None, f"mask {mask:03o}: at the bench: {wrong}")
    (folder / "user" / "given").mkdir()
    for words in (*COMMANDS, ("log", "export", "xmp", "--all", "--to", "../user/given", "--force")):
        done = run([*tool(), *words], env, cwd=folder / "here", mask=mask)
        attempts.expect(done.wrong() is None, f"mask {mask:03o}: {' '.join(words)}: {done.wrong()}")
    for inside in ("home", "state", "tmp"):
        for seen in open_to_others(folder / inside):
            attempts.expect(False, f"mask {mask:03o}: {inside}/{seen}")
        attempts.expect(True, "")
    given = (folder / "here" / "out.csv").stat().st_mode & 0o777
    attempts.expect(given == 0o600 | 0o666 & ~mask, f"mask {mask:03o}: an export has {given:04o}")


def _no_right_to_write(attempts: Attempts, folder: Path, mode: int) -> None:
    """Strike where the folder of the log may not be written, or entered: a spill place has the lines."""
    if os.geteuid() == 0 and shutil.which("setpriv") is None:
        return
    (folder / "home").chmod(mode)
    under = [*without_right_to_write(), *tool()]
    wrong = struck(under, environment(folder), folder)
    attempts.expect(wrong is None, f"a home of mode {mode:03o}: {wrong}")
    attempts.expect(lines_in(folder / "state") != [], "no journal lies in the spill place")
    for words in COMMANDS:
        done = run([*under, *words], environment(folder), cwd=folder / "here")
        attempts.expect(done.wrong() is None, f"a home of mode {mode:03o}: {' '.join(words)}: {done.wrong()}")
    (folder / "home").chmod(0o700)
    attempts.expect(not list((folder / "home").iterdir()), "something was written where nothing may be")
    wrong = OddHome.comes_back(tool(), environment(folder), folder)
    attempts.expect(wrong is None, f"a home that may be written again: {wrong}")
