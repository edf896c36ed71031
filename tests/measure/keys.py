"""From the first key of a strike to the changed screen, p99: go and undo, each apart, idle and under load.

    python -m tests.measure.keys [--short]

A strike acts when its handful is gathered, 60 ms after its first key, or wet gloves would strike twice;
nothing that answers a strike can be as fast as a bare echo. So at rest the floor is an echo that gathers as
long, and the aim 20 ms more. At twice the cores' load the aim is a bare echo of the same load and 80 ms: the
60 ms and the same 20. The bench and both echoes are asked in turns, each in a terminal of its own.
On the bench go and undo follow one another: each changes the large name of the stage.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field

import pyte

from tests.kit.terminal import OTHER_SCREEN, UNKNOWN, PlainScreen, Terminal
from tests.measure import measure as m

COLUMNS, ROWS = 80, 24
STAGE_ROWS = range(3, 8)
"""Where the stage's name stands at 80 × 24."""
GATHERED = (sys.executable, str(m.FLOORS / "gathered_echo.py"))
PAUSE = 0.4
"""Seconds between a key to one program and a key to the next; two strikes of the bench lie further apart."""
BEYOND, BEYOND_LOADED = 20.0, 80.0
"""Milliseconds that are aimed at beyond the floor."""
BUSY = "while True: pass"


@dataclass
class Asked:
    """A program that is sent keys; `rows` are those that each key changes."""

    argv: Sequence[str]
    keys: Sequence[str]
    rows: range
    terminal: Terminal = field(init=False)
    sent: list[float] = field(default_factory=list)

    def delays(self) -> list[float]:
        """Return the seconds until each key changed the rows; nan where the next key came first."""
        screen = PlainScreen(COLUMNS, ROWS)
        stream = pyte.ByteStream(screen)
        shown, changes = "", []
        for at, chunk in list(self.terminal.chunks):
            stream.feed(UNKNOWN.sub(b"", OTHER_SCREEN.sub(b"\x1b[2J\x1b[H", chunk)))
            now = "\n".join(screen.display[row] for row in self.rows)
            if now != shown:
                changes.append(at)
                shown = now
        found = []
        for number, (at, after) in enumerate(zip(self.sent, [*self.sent[1:], float("inf")], strict=True)):
            change = next((change for change in changes if at < change < after), None)
            if change is None and number:
                raise RuntimeError(f"key {number + 1} of {len(self.sent)} to {self.argv[-1]} changed nothing")
            found.append(float("nan") if change is None else change - at)
        return found[1:]  # the first key starts the first stage, whose name stands already


def ask_in_turns(asked: Sequence[Asked]) -> list[list[float]]:
    """Send each program its keys, a key to each in turn; return the seconds until each was answered."""
    with ExitStack() as stack:
        for program in asked:
            program.terminal = stack.enter_context(m.running(program.argv, COLUMNS, ROWS))
            m.first_frame(program.terminal)
        time.sleep(1.0)
        for keys in zip(*(program.keys for program in asked), strict=True):
            for program, key in zip(asked, keys, strict=True):
                program.sent.append(program.terminal.send(key))
                time.sleep(PAUSE)
        time.sleep(1.0)
        return [program.delays() for program in asked]


@contextmanager
def busy(programs: int) -> Iterator[None]:
    """Keep so many programs computing."""
    running = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(programs)]
    try:
        yield
    finally:
        for program in running:
            program.kill()
            program.wait()


def answers(count: int, argv: Sequence[str] | None = None) -> dict[str, list[float]]:
    """Return the milliseconds until go, undo, the gathering echo and the bare echo answered, `count` each."""
    keys = ["space", *["space", "backspace"] * count]
    found = ask_in_turns(
        [
            Asked(argv or m.BENCH, keys, STAGE_ROWS),
            Asked(GATHERED, ["x"] * len(keys), range(1)),
            Asked(m.ECHO, ["x"] * len(keys), range(1)),
        ]
    )
    bench, gathered, bare = ([1000 * delay for delay in delays] for delays in found)
    return {"go": bench[0::2], "undo": bench[1::2], "gathered": gathered, "bare": bare}


def rows(found: dict[str, list[float]], when: str, floor: str, beyond: float) -> list[m.Row]:
    """Return the rows of go and undo against a floor of the same run."""
    base = m.percentile(found[floor], 0.99)
    return [
        m.Row(
            f"first key of {strike} to screen, p99, {when}",
            m.percentile(found[strike], 0.99),
            base,
            base + beyond,
            "ms",
            f"p50 {m.middle(found[strike]):.1f}; floor: {floor} echo, p50 {m.middle(found[floor]):.1f}; "
            f"of the gathering one p50 {m.middle(found['gathered']):.1f}, "
            f"p99 {m.percentile(found['gathered'], 0.99):.1f}",
        )
        for strike in ("go", "undo")
    ]


def measure(short: bool = False, argv: Sequence[str] | None = None) -> list[m.Row]:
    """Compare strikes on the bench with echoes, at rest and at twice the cores' load."""
    count = 10 if short else 100
    measured = rows(answers(count, argv), "at rest", "gathered", BEYOND)
    with busy(2 * (os.cpu_count() or 1)):
        measured += rows(answers(count, argv), "twice the cores' load", "bare", BEYOND_LOADED)
    return measured


if __name__ == "__main__":
    m.compile_both_sides()
    for row in measure("--short" in sys.argv):
        print(row)
