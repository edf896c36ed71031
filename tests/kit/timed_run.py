"""Runs the redrawing program in a terminal and compares what was played with what was due."""

from __future__ import annotations

import contextlib
import fcntl
import json
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from tests.kit.sound_recording import RATE, Capture, Server, onsets, up

BUSY = "x = 0\nwhile True:\n    x = (x * 3 + 1) % 1000003\n"


@dataclass
class Timing:
    """How far each onset lay from its deadline, in milliseconds, the constant part removed."""

    due: int
    heard: int
    constant: float
    errors: list[float]

    @property
    def missing(self) -> int:
        """How many cues were not heard within 0.15 s of their deadline."""
        return self.due - len(self.errors)

    @property
    def extra(self) -> int:
        """How many sounds were heard that no cue was due for."""
        return self.heard - len(self.errors)

    def at(self, part: float) -> float:
        """Return the size of the error that this part of the cues does not exceed."""
        return float(np.percentile(np.abs(self.errors), 100 * part))

    @property
    def spread(self) -> float:
        """The standard deviation."""
        return float(np.std(self.errors))

    def __str__(self) -> str:
        """Return the figures as one line."""
        return (
            f"{self.due} due, {self.missing} missing, {self.extra} extra, constant {self.constant:+.1f} ms, "
            f"sd {self.spread:.2f}, p95 {self.at(0.95):.1f}, p99 {self.at(0.99):.1f} ms"
        )


@dataclass(frozen=True)
class RedrawRun:
    """What a run of the redrawing program was to play, and what its player reported."""

    started: float
    """The instant on the boot clock at which it was started."""
    due: list[float]
    """The instant of each tick."""
    reports: list[tuple[str, dict[str, Any]]]
    """(kind, what) of each report."""


def redraw(
    server: Server,
    folder: Path,
    *,
    count: int,
    spacing: float,
    busy: int = 0,
    deaf: float = 0.0,
    begin: float = 2.5,
) -> RedrawRun:
    """Run it with `busy` endless processes beside it; the terminal stops reading for `deaf` seconds."""
    path = folder / "run.txt"
    hogs = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(busy)]
    try:
        started = up()
        _in_terminal(server, [str(path), str(begin), str(spacing), str(count), "1851"], deaf, begin)
    finally:
        for hog in hogs:
            hog.kill()
            hog.wait()
    lines = [line.split(maxsplit=2) for line in path.read_text().splitlines()]
    due = [float(line[1]) for line in lines if line[0] == "cue"]
    return RedrawRun(started, due, [(line[1], json.loads(line[2])) for line in lines if line[0] == "report"])


def run(server: Server, capture: Capture, folder: Path, **more: Any) -> Timing:
    """Run it as `redraw` does; return how far each tick that was played lay from its deadline."""
    redrawn = redraw(server, folder, **more)
    x, first = capture.between(redrawn.started, redrawn.due[-1] + 1.0)
    onset_instants = capture.true([first + sample / RATE for sample in onsets(x, 0.045)], redrawn.started)
    return compare(redrawn.due, onset_instants)


def compare(due: list[float], found: list[float]) -> Timing:
    """Pair each deadline with the sound nearest to it, each sound used once."""
    left = sorted(found)
    pairs = []
    for deadline in due:
        near = min(left, key=lambda at: abs(at - deadline), default=None)
        if near is not None and abs(near - deadline) < 0.15:
            left.remove(near)
            pairs.append(1000 * (near - deadline))
    constant = float(np.median(pairs)) if pairs else float("nan")
    return Timing(len(due), len(found), constant, [error - constant for error in pairs])


def _in_terminal(server: Server, arguments: list[str], deaf: float, begin: float) -> None:
    """Run the program in a terminal of 120 × 35 that reads everything, except while it is deaf."""
    main, child = pty.openpty()
    fcntl.ioctl(child, termios.TIOCSWINSZ, struct.pack("HHHH", 35, 120, 0, 0))
    script = str(Path(__file__).with_name("redraw.py"))
    process = subprocess.Popen(
        [sys.executable, script, *arguments],
        stdin=child,
        stdout=child,
        stderr=child,
        env={**os.environ, **server.env, "TERM": "xterm-256color", "COLUMNS": "120", "LINES": "35"},
        start_new_session=True,
    )
    os.close(child)
    deaf_from = time.monotonic() + begin + 3.0
    try:
        while process.poll() is None:
            if deaf and deaf_from < time.monotonic() < deaf_from + deaf:
                time.sleep(0.05)
                continue
            if select.select([main], [], [], 0.1)[0]:
                with contextlib.suppress(OSError):
                    os.read(main, 65536)
        assert process.returncode == 0, "the redrawing program failed"
    finally:
        process.kill()
        process.wait()
        os.close(main)
