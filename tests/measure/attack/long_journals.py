"""Journals of very many lines in the installed tool: four times the lines take some four times as long."""

from __future__ import annotations

import os
import subprocess
import tempfile
import time
from pathlib import Path

from tests.kit.long_journals import KINDS
from tests.measure.attack.attempts import Attempts, tool

FEW = 10_000
TIMES = 4
ROOM = 1.8
"""How much more than its share the longer journal may take: the times of a busy machine scatter."""
FLOOR = 0.5
"""Seconds: what takes less is start-up and noise, and has no ratio."""
PLATES = ("20260301-120000-abc123", "20260301-120000-abd123")
COMMANDS = (
    ("compare", *PLATES),
    ("list",),
    ("show", PLATES[0]),
    ("check",),
    ("export", "csv", "--all", "--to", "out.csv", "--force"),
)


def attack(short: bool) -> Attempts:
    """Run commands on two journals of each kind, of one length and of four times that."""
    attempts = Attempts()
    slowest = 0.0
    kinds = ["marks", "line feeds"] if short else list(KINDS)
    for kind in kinds:
        for command in COMMANDS[:1] if short else COMMANDS:
            few, many = (_seconds(kind, count, command) for count in (FEW, FEW * TIMES))
            slowest = max(slowest, many)
            share = max(few, FLOOR) * TIMES * ROOM
            attempts.expect(many <= share, f"{kind}, {command[0]}: {few:.2f} s, then {many:.2f} s")
    attempts.figures[f"slowest, s, at {FEW * TIMES} lines"] = f"{slowest:.1f}"
    return attempts


def _seconds(kind: str, count: int, command: tuple[str, ...]) -> float:
    """Return how long the command takes on two journals of `count` lines."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        day = folder / "home" / "plates" / "2026" / "2026-03-01"
        day.mkdir(parents=True)
        for plate in PLATES:
            (day / f"{plate}.jsonl").write_bytes(KINDS[kind](count, plate))
        env = {**os.environ, "DARKROOM_HOME": str(folder / "home"), "XDG_STATE_HOME": str(folder / "state")}
        start = time.monotonic()
        ran = subprocess.run(
            [*tool(), "log", *command], env=env, cwd=folder, capture_output=True, check=False, timeout=300
        )
        if ran.returncode not in (0, 1) or b"Traceback" in ran.stderr:
            raise RuntimeError(f"{kind}, {command[0]}: {ran.stderr[-200:]!r}")
        return time.monotonic() - start
