"""`darkroom strength` from exec to its end, against a Python that imports the command line's library alone.

python -m tests.measure.run strength
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Sequence

from tests.measure import measure as m

FLOOR = (sys.executable, "-c", "import click")
COMMAND = (
    sys.executable, "-m", "darkroom", "strength", "silver-nitrate", "--density", "1.065", "--at", "24C",
    "--to", "9", "--volume", "940mL", "--fill", "1L", "--json",
)  # fmt: skip


def once(argv: Sequence[str]) -> float:
    """Return the milliseconds of one run."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    subprocess.run(argv, cwd=m.ROOT, env=env, capture_output=True, check=True)
    return 1000 * (time.perf_counter() - start)


def measure(short: bool = False) -> list[m.Row]:
    """Run both in turn, several times; compare medians."""
    once(FLOOR)
    once(COMMAND)  # once before, so that neither pays for a cold disk or for compiling
    pairs = [(once(FLOOR), once(COMMAND)) for _ in range(7 if short else 25)]
    floor, value = (m.middle(times) for times in zip(*pairs, strict=True))
    return [m.Row("darkroom strength, from exec to its end", value, floor, 1.8 * floor, "ms")]
