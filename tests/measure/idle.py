"""What the tool does while nobody does anything: bytes to the terminal, processor, wake-ups; at 120 × 40.

    python -m tests.measure.idle [--short]

Each screen stands for some seconds beside an empty application of the same toolkit. Bytes are what a
pseudo-terminal reads; the processor is that of the process itself (the player has measurements of its own);
wake-ups are the voluntary context switches of all its threads (proc(5), `voluntary_ctxt_switches`).
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.kit import season
from tests.kit.terminal import Terminal
from tests.measure import measure as m

COLUMNS, ROWS = 120, 40
LOOK = (sys.executable, "-m", "darkroom", "log", "look")
PLATES = 60
"""Plates of the log that is looked at."""
SETTLED = 3.0
"""Seconds after which what a screen asked of the log has been answered and drawn."""
MOST_PROCESSOR, MOST_WAKE_UPS = 0.5, 20.0
MOST_COUNTING, MOST_WITH_MENU = 5_500.0, 9_000.0
"""Bytes a second."""


Run = Callable[[], AbstractContextManager[Terminal]]


@dataclass(frozen=True)
class Use:
    """What a program did in a second: bytes written, per cent of a core, wake-ups."""

    bytes: float
    processor: float
    wake_ups: float


def wake_ups(pid: int) -> int:
    """Return how often the threads of a process have gone to sleep so far."""
    total = 0
    for task in Path(f"/proc/{pid}/task").iterdir():
        for line in (task / "status").read_text().splitlines():
            if line.startswith("voluntary_ctxt_switches:"):
                total += int(line.split()[1])
    return total


def own_seconds(pid: int) -> float:
    """Return the processor time of the process itself so far, in seconds."""
    runs = [(task / "schedstat").read_text().split()[0] for task in Path(f"/proc/{pid}/task").iterdir()]
    return sum(map(int, runs)) / 1e9


def use(terminal: Terminal, seconds: float) -> Use:
    """Return what the program in the terminal does in so many seconds."""
    pid = m.pid_of(terminal)
    size, slept, worked, begun = len(terminal.data), wake_ups(pid), own_seconds(pid), time.monotonic()
    time.sleep(seconds)
    took = time.monotonic() - begun
    return Use(
        (len(terminal.data) - size) / took,
        100 * (own_seconds(pid) - worked) / took,
        (wake_ups(pid) - slept) / took,
    )


@contextmanager
def looking() -> Iterator[Terminal]:
    """Look at a log of a few plates in a terminal."""
    with tempfile.TemporaryDirectory(prefix="darkroom-idle-") as name:
        home, state = Path(name, "home"), Path(name, "state")
        season.write(home, PLATES)
        env = {"DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(state), "PYTHONPATH": str(m.ROOT)}
        with Terminal(COLUMNS, ROWS, env=env) as terminal:
            terminal.spawn(LOOK, cwd=str(m.ROOT))
            terminal.wait_for("enter open")
            yield terminal


def at_screen(run: Run, keys: Sequence[str], seconds: float) -> Use:
    """Return what a program does at the screen to which the keys lead, once that has settled."""
    with run() as terminal:
        m.first_frame(terminal)
        time.sleep(SETTLED)
        for key in keys:
            terminal.send(key)
            time.sleep(1.0)
        time.sleep(SETTLED)
        one, other = use(terminal, seconds), use(terminal, seconds)
        # what else the machine does adds to the processor's time, and takes nothing from it
        return Use(max(one.bytes, other.bytes), min(one.processor, other.processor), other.wake_ups)


def counting(keys: Sequence[str], seconds: float) -> Use:
    """Return what the bench does while a stage of a plate counts, after the keys."""
    with m.running(m.BENCH, COLUMNS, ROWS) as terminal:
        m.first_frame(terminal)
        time.sleep(1.0)
        for key in ("space", *keys):
            terminal.send(key)
            time.sleep(1.5)
        return use(terminal, seconds)


def empty(seconds: float) -> Use:
    """Return what an empty application does."""
    return at_screen(lambda: m.running(m.EMPTY, COLUMNS, ROWS), (), seconds)


SCREENS: dict[str, tuple[Run, tuple[str, ...]]] = {
    "home": (lambda: m.running(m.HOME, COLUMNS, ROWS), ()),
    "list": (looking, ()),
    "plate page": (looking, ("enter",)),
    "trends": (looking, ("f4",)),
}


def measure(short: bool = False) -> list[m.Row]:
    """Measure each screen idle, and the bench counting."""
    seconds = 6.0 if short else 30.0
    floor = empty(seconds)
    rows = []
    for name, (run, keys) in SCREENS.items():
        found = at_screen(run, keys, seconds)
        rows.append(m.Row(f"{name} idle: bytes to the terminal", found.bytes, None, 0, "B/s"))
        if name in ("home", "list"):
            rows += [
                m.Row(f"{name} idle: processor", found.processor, floor.processor, MOST_PROCESSOR, "%"),
                m.Row(f"{name} idle: wake-ups", found.wake_ups, floor.wake_ups, MOST_WAKE_UPS, "/s"),
            ]
    for name, keys, most in (
        ("bench counting", (), MOST_COUNTING),
        ("bench counting, a menu over it", ("escape",), MOST_WITH_MENU),
    ):
        found = counting(keys, seconds)
        note = f"processor {found.processor:.2f} %, {found.wake_ups:.0f} wake-ups/s"
        rows.append(m.Row(f"{name}: bytes to the terminal", found.bytes, None, most, "B/s", note))
    return rows


if __name__ == "__main__":
    m.compile_both_sides()
    for row in measure("--short" in sys.argv):
        print(row)
