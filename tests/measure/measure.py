"""What the measurements share: the programs they run, and a row of the table they print."""

from __future__ import annotations

import compileall
import json
import os
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import textual

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
    """One measurement: `value` and `floor` in `unit` (floor None: there is none), `limit` the most aimed at.

    `spread` is half of what lies between the quartiles of the ratio to the floor, or of the value in parts
    of itself where there is no floor; None where there was one run alone.
    """

    what: str
    value: float
    floor: float | None
    limit: float
    unit: str
    note: str = ""
    spread: float | None = None

    @property
    def over(self) -> float:
        """Return the measured value as a share of the aim: 1 is just met."""
        if self.limit:
            return self.value / self.limit
        return 0.0 if not self.value else float("inf")

    @property
    def ratio(self) -> float | None:
        """Return the value in floors; None without a floor above nothing."""
        return self.value / self.floor if self.floor else None

    def cells(self) -> tuple[str, ...]:
        """Return the row as the cells of the table, in the order of `HEADINGS`."""
        unit = f" {self.unit}" if self.unit else ""
        return (
            self.what,
            f"{figure(self.value)}{unit}",
            f"{figure(self.floor)}{unit}" if self.floor else "–",
            f"{self.ratio:.2f}" if self.ratio is not None else "–",
            f"± {self.spread:.2f}" if self.spread is not None else "–",
            f"≤ {self.limit / self.floor:.2f} floors" if self.floor else f"≤ {figure(self.limit)}{unit}",
            f"{100 * self.over:.0f} %" if self.over != float("inf") else "over",
            "met" if self.over <= 1 else "missed",
            self.note,
        )

    def __str__(self) -> str:
        """Return the row as it is printed: a line of a Markdown table."""
        return table_line(self.cells())


HEADINGS = ("what", "value", "floor", "ratio", "spread", "aim", "share of aim", "", "note")
"""Ratio: to the floor of the same run. Share of aim: the value in parts of the most that is aimed at."""
WIDTHS = (48, 11, 11, 6, 7, 15, 12, 6, 0)


def table_line(cells: Sequence[str]) -> str:
    """Return one line of the table."""
    return f"| {' | '.join(cell.ljust(width) for cell, width in zip(cells, WIDTHS, strict=True))} |"


def table_head() -> str:
    """Return the two lines above the rows."""
    return "\n".join((table_line(HEADINGS), f"|{'|'.join('-' * (max(width, 4) + 2) for width in WIDTHS)}|"))


def figure(value: float) -> str:
    """Return a measured number with three signs that mean something."""
    if abs(value) >= 100 or not value:
        return f"{value:.0f}"
    return f"{value:.1f}" if abs(value) >= 10 else f"{value:.2f}" if abs(value) >= 0.1 else f"{value:.3g}"


@dataclass(frozen=True)
class Pairs:
    """What was measured in turns with its floor: medians of both, of their ratio, and its spread."""

    value: float
    floor: float
    ratio: float
    spread: float

    def row(self, what: str, aim: float, unit: str, note: str = "", scale: float = 1.0) -> Row:
        """Return the row of the table; `aim` in floors, `scale` from what was measured to `unit`.

        The value shown is the median ratio in floors, so that a drift of the machine drops out of it.
        """
        floor = self.floor * scale
        return Row(what, self.ratio * floor, floor, aim * floor, unit, note, self.spread)


def paired(value: Callable[[], float], floor: Callable[[], float], rounds: int) -> Pairs:
    """Measure both in turns, `rounds` times after one that does not count (cold disk, first bytecode).

    Who begins alternates, so that neither always follows the other.
    """
    value()
    floor()
    values: list[float] = []
    floors: list[float] = []
    for number in range(rounds):
        for work, found in ((value, values), (floor, floors))[:: 1 if number % 2 else -1]:
            found.append(work())
    ratios = [one / base for one, base in zip(values, floors, strict=True)]
    return Pairs(middle(values), middle(floors), middle(ratios), spread(ratios))


def spread(values: Sequence[float]) -> float:
    """Return half of what lies between the quartiles."""
    if len(values) < 2:
        return 0.0
    low, _, high = statistics.quantiles(values, n=4, method="inclusive")
    return (high - low) / 2


def compile_both_sides() -> None:
    """Compile the bytecode of the toolkit and of darkroom, so that no start pays for it."""
    for package in (ROOT / "darkroom", FLOORS, Path(textual.__file__).parent):
        compileall.compile_dir(package, quiet=2, workers=1)


@contextmanager
def running(argv: Sequence[str], columns: int = 120, rows: int = 40, **more: Any) -> Iterator[Terminal]:
    """Run a program in a terminal of its own, with a house of its own that is gone afterwards."""
    house = tempfile.mkdtemp(prefix="darkroom-bench-")
    env = {
        "PYTHONDONTWRITEBYTECODE": "",
        "DARKROOM_HOME": house,
        "XDG_STATE_HOME": os.path.join(house, "state"),
        "PYTHONPATH": str(ROOT),
    }
    try:
        with Terminal(columns, rows, env=env, **more) as terminal:
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
