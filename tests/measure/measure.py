"""What the measurements share: the programs they run, and a row of the table they print."""

from __future__ import annotations

import json
import os
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.kit.day import go_through_sheet
from tests.kit.terminal import Terminal

ROOT = Path(__file__).resolve().parents[2]
BENCH_ID = "00000000000000be"
"""The bench of the measured runs."""
FLOORS = Path(__file__).resolve().parent / "floors"
BENCH = (sys.executable, "-m", "darkroom", "bench", "clear-glass")
HOME = (sys.executable, "-m", "darkroom")
EMPTY, CLOCK, ECHO = ((sys.executable, str(FLOORS / f"{name}.py")) for name in ("empty", "clock", "echo"))


@dataclass(frozen=True)
class Row:
    """One measurement: `value` and `floor` in `unit`, `limit` the most that is aimed at."""

    what: str
    value: float
    floor: float
    limit: float
    unit: str
    note: str = ""

    @property
    def over(self) -> float:
        """Return the measured value as a part of the aim: 1 is just met."""
        return self.value / self.limit if self.limit else float("inf")

    def __str__(self) -> str:
        """Return the row as it is printed."""
        verdict = "met" if self.over <= 1 else f"missed ({self.over:.2f} of the aim)"
        note = f"  {self.note}" if self.note else ""
        return (
            f"{self.what:<44} {self.value:9.2f} {self.unit:<4} floor {self.floor:9.2f}  "
            f"aim {self.limit:9.2f}  {verdict}{note}"
        )


@contextmanager
def running(argv: Sequence[str], columns: int = 120, rows: int = 40) -> Iterator[Terminal]:
    """Run a program in a terminal of its own, with a house of its own that is gone afterwards."""
    house = tempfile.mkdtemp(prefix="darkroom-bench-")
    env = {"DARKROOM_HOME": house, "XDG_STATE_HOME": os.path.join(house, "state"), "PYTHONPATH": str(ROOT)}
    try:
        with Terminal(columns, rows, env=env) as terminal:
            Path(house, "bench.json").write_text(json.dumps({"number": 1}))
            Path(house, "state", "darkroom").mkdir(parents=True)
            Path(house, "state", "darkroom", "bench-id").write_text(BENCH_ID)
            go_through_sheet(Path(house), BENCH_ID)  # the day has begun: the bench opens
            terminal.spawn(argv, cwd=str(ROOT))
            yield terminal
    finally:
        shutil.rmtree(house, ignore_errors=True)


def first_frame(terminal: Terminal, quiet: float = 0.07, timeout: float = 20.0) -> float:
    """Wait for the first full frame; return the seconds from exec to its last byte.

    The frame is over when, after something was painted on the alternate screen, nothing more comes
    for `quiet` seconds.
    """
    end = time.monotonic() + timeout
    while time.monotonic() < end:
        chunks = list(terminal.chunks)
        data = b""
        for index, (at, chunk) in enumerate(chunks):
            data += chunk
            begun = data.find(b"\x1b[?1049h")
            if begun < 0 or b"\x1b[1;1H" not in data[begun:]:
                continue
            following = chunks[index + 1][0] if index + 1 < len(chunks) else time.monotonic()
            if following - at >= quiet:
                return at - terminal.started
        time.sleep(0.01)
    raise TimeoutError(f"no first frame; the screen was:\n{terminal.screen()}")


def cpu_seconds(pid: int) -> float:
    """Return the processor time that a process and its children have used so far, in seconds."""
    total = 0.0
    for process in [pid, *children(pid)]:
        try:
            fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue
        total += (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    return total


def children(pid: int) -> list[int]:
    """Return the processes that a process started, and theirs."""
    found: list[int] = []
    try:
        for task in Path(f"/proc/{pid}/task").iterdir():
            found += [int(word) for word in (task / "children").read_text().split()]
    except OSError:
        return found
    return found + [grandchild for child in found for grandchild in children(child)]


def resident(pid: int) -> float:
    """Return the memory of a process that is its own or shared, in megabytes (VmRSS)."""
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    return 0.0


def pid_of(terminal: Terminal) -> int:
    """Return the process id of the program in the terminal."""
    assert terminal.process is not None
    return terminal.process.pid


def percentile(values: Sequence[float], part: float) -> float:
    """Return the value below which `part` of the values lie (nearest rank)."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, max(0, round(part * len(ordered) + 0.5) - 1))]


def middle(values: Sequence[float]) -> float:
    """Return the median."""
    return statistics.median(values)
