"""Bytes, pages and whole catalogues changed: lists, searches and trends say what the journals say."""

from __future__ import annotations

import json
import os
import subprocess
import tempfile
from pathlib import Path
from unittest import mock

from darkroom.log.catalogue.database import NAME
from tests.kit import damage, season
from tests.measure.attack.attempts import Attempts, tool

PLATES = 2
STEP = 397
"""Every so many bytes one is changed in the short form; in the long form every single byte."""
ASKED = (23, 229)
"""Every so many changed bytes the command is asked too; both are primes, so it meets every part of a page."""


def attack(short: bool) -> Attempts:
    """Damage the catalogue in each way, ask, and compare with the answers of a sound one."""
    attempts = Attempts()
    with tempfile.TemporaryDirectory() as name, mock.patch.dict(os.environ, _places(Path(name))):
        home = Path(name, "home")
        season.write(home, PLATES, seed=5, days=1)
        said = damage.answers(home)
        data = (home / NAME).read_bytes()
        attempts.figures["bytes"] = str(len(data))
        listed = _listed(home)
        for number, at in enumerate(range(0, len(data), STEP if short else 1)):
            changed = damage.flipped(data, at, 1 << at % 8)
            damage.put(home, changed)
            _compare(attempts, home, said, f"byte {at} changed")
            if number % ASKED[0 if short else 1] == 0:
                damage.put(home, changed)
                attempts.expect(_listed(home) == listed, f"the command's list differs: byte {at} changed")
        for what, damaged in damage.page_damage(data):
            damage.put(home, damaged)
            _compare(attempts, home, said, what)
        for cut in range(0, len(data), 16384 if short else 512):
            damage.put(home, data[:cut])
            _compare(attempts, home, said, f"cut off at {cut}")
        for state, make in damage.ODD_STATES.items():
            damage.put(home, data)
            make(home)
            _compare(attempts, home, said, state)
            damage.put(home, data)
            make(home)
            attempts.expect(_listed(home) == listed, f"the command's list differs: {state}")
        damage.remove(home)
    return attempts


def _places(folder: Path) -> dict[str, str]:
    for place in ("home", "state", "tmp"):
        (folder / place).mkdir(mode=0o700)
    return {"DARKROOM_HOME": str(folder / "home"), "XDG_STATE_HOME": str(folder / "state")}


def _compare(attempts: Attempts, home: Path, said: damage.Answer, what: str) -> None:
    try:
        found: object = damage.answers(home)
    except Exception as error:
        found = f"{type(error).__name__}: {error}"
    attempts.expect(found == said, f"{what}: {found if isinstance(found, str) else 'other answers'}")


def _listed(home: Path) -> object:
    done = subprocess.run([*tool(), "log", "list", "--json"], capture_output=True, check=False, timeout=60)
    if b"Traceback" in done.stderr or done.returncode:
        return done.stderr.decode(errors="replace")
    return json.loads(done.stdout)
