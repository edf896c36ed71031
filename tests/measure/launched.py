"""Runs a program and tells what it took: seconds of the processor, and its memory at the peak.

The system's account of a child's memory begins with what the process that started it had, so a large
measuring process would be told in the place of a small program. The program is started by a process that has
little.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.measure import measure as m

LAUNCHER = """
import os, sys
process = os.posix_spawn(sys.argv[2], sys.argv[2:], os.environ)
_, status, used = os.wait4(process, 0)
with open(sys.argv[1], "w") as file:
    print(os.waitstatus_to_exitcode(status), used.ru_utime + used.ru_stime, used.ru_maxrss, file=file)
"""
"""Starts a program from a process that has little memory."""


@dataclass(frozen=True)
class Took:
    """What a program took: seconds on the wall and of the processor, megabytes at its peak."""

    wall: float
    cpu: float
    peak: float


def run(argv: Sequence[str], home: Path) -> tuple[Took, str]:
    """Run a program over a log; return what it took, its waited-for children included, and what it printed.

    Raises RuntimeError when it fails.
    """
    env = {**os.environ, "DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(home.parent / "state")}
    env |= {"PYTHONPATH": str(m.ROOT), "PYTHONDONTWRITEBYTECODE": ""}
    with tempfile.NamedTemporaryFile("r") as report:
        began = time.perf_counter()
        launch = (sys.executable, "-S", "-c", LAUNCHER, report.name, *argv)
        done = subprocess.run(launch, env=env, cwd=m.ROOT, capture_output=True, text=True, check=True)
        wall = time.perf_counter() - began
        status, cpu, peak = report.read().split()
    if int(status):
        raise RuntimeError(f"{' '.join(argv)} failed:\n{done.stderr[-2000:]}")
    return Took(wall, float(cpu), int(peak) / 1024), done.stdout
