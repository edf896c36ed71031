"""From the first key of a strike to the changed screen, p99, against a bare key echo.

    python -m tests.measure.keys [--short]

On the bench, go and undo follow one another: each changes the large name of the stage. The aim is
the echo's p99 and 80 ms: 60 ms in which the handful is gathered, and 20 ms.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

import pyte

from tests.kit.terminal import OTHER_SCREEN, UNKNOWN, PlainScreen
from tests.measure import measure as m

COLUMNS, ROWS = 80, 24
STAGE_ROWS = range(3, 8)
"""Where the stage's name stands at 80 × 24."""


def answers(argv: Sequence[str], keys: Sequence[str], pause: float, rows: range) -> list[float]:
    """Send the keys, `pause` seconds apart; return the seconds until each changed those rows."""
    with m.running(argv, COLUMNS, ROWS) as terminal:
        m.first_frame(terminal)
        time.sleep(1.0)
        sent = []
        for key in keys:
            sent.append(terminal.send(key))
            time.sleep(pause)
        chunks = list(terminal.chunks)
    screen = PlainScreen(COLUMNS, ROWS)
    stream = pyte.ByteStream(screen)
    shown, changes = "", []
    for at, chunk in chunks:
        stream.feed(UNKNOWN.sub(b"", OTHER_SCREEN.sub(b"\x1b[2J\x1b[H", chunk)))
        now = "\n".join(screen.display[row] for row in rows)
        if now != shown:
            changes.append(at)
            shown = now
    found = []
    for at, after in zip(sent, [*sent[1:], float("inf")], strict=True):
        change = next((change for change in changes if at < change < after), None)
        if change is None and found:
            raise RuntimeError(f"key {len(found) + 1} of {len(sent)} changed nothing")
        found.append(float("nan") if change is None else change - at)
    return found[1:]  # the first key starts the first stage, whose name stands already


def measure(short: bool = False, argv: Sequence[str] | None = None) -> list[m.Row]:
    """Compare strikes on the bench with an echo."""
    count = 20 if short else 100
    floor = answers(m.ECHO, ["x"] * count, 0.1, range(0, 1))
    found = answers(argv or m.BENCH, ["space", *["space", "backspace"] * (count // 2)], 1.0, STAGE_ROWS)
    base = 1000 * m.percentile(floor, 0.99)
    note = f"p50 {1000 * m.middle(found):.1f}, echo p50 {1000 * m.middle(floor):.1f}"
    return [
        m.Row(
            "first key of a strike to screen, p99",
            1000 * m.percentile(found, 0.99),
            base,
            base + 80,
            "ms",
            note,
        )
    ]


if __name__ == "__main__":
    for row in measure("--short" in sys.argv):
        print(row)
