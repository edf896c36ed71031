"""A day of two plates over 9,600 baud: are the calls on time, and is the time shown the time it is?

    python -m tests.measure.slow_line [--short]

The calls are recorded from a sound server's null sink; without one that part is not measured, and that is
said. How late a call is counts from the journals' instants, less the recording's own constant delay.
The time shown is looked at twice a second at a coating plate in 80 × 24, whose clock counts up. `--short`
leaves the day out.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

from darkroom.process.text.durations import show_elapsed
from tests.kit.letters import large_text_is_shown
from tests.measure import measure as m

BAUD = 9600
LOOKS = 60
LONGEST = 30
"""Seconds behind which are looked for."""


def behind(looks: int) -> list[float]:
    """Return by how many whole seconds the time on the screen was behind, at each look."""
    found = []
    with m.running(m.BENCH, 80, 24, baud=BAUD, answers=True) as terminal:
        terminal.wait_for(": menu")  # a notice may stand where "saved" does
        time.sleep(3.0)
        began = terminal.send("space")
        time.sleep(8.0)
        for _ in range(looks):
            time.sleep(0.5)
            now, screen = time.monotonic() - began, terminal.screen()
            shown = (
                late
                for late in range(LONGEST)
                if large_text_is_shown(screen, show_elapsed(now - late), 80, range(5, 12))
            )
            late = next(shown, None)
            if late is not None:  # else a digit is half painted
                found.append(float(late))
    return found


def calls() -> tuple[int, list[float], int]:
    """Return (calls due, by how many milliseconds each was off, how many were not heard or not due)."""
    from tests.kit import slow_day, sound_recording
    from tests.kit.cues_heard import faults, sounds

    server = sound_recording.Server(rewinds=False)
    server.start()
    os.environ.update(server.env)
    capture = sound_recording.Capture(server)
    try:
        with tempfile.TemporaryDirectory() as name:
            ear = sound_recording.Ear(capture, sounds())
            day = slow_day.work(ear, Path(name), server.env, BAUD)
        wrong = len(faults(day.due, day.heard, day.reports, may_be_cut=True))
        heard = [(sound, capture.instant(ear.begin + sound.at)) for sound in day.heard]
        off = []
        for at, call in day.due:
            near = [abs(when - at) for sound, when in heard if call in sound.names]
            if near:
                off.append(1000 * min(near))
        return len(day.due), off, wrong
    finally:
        capture.close()
        server.close()


def measure(short: bool = False) -> list[m.Row]:
    """Return the rows of the table."""
    late = behind(20 if short else LOOKS)
    if not late:
        raise RuntimeError("no time was read from the screen")
    rows = [
        m.Row(
            "9,600 baud: the time shown is behind, at most",
            max(late),
            None,
            2.0,
            "s",
            f"{len(late)} looks, median {m.middle(late):.0f} s",
            m.spread(late),
        )
    ]
    if short:
        return rows
    from tests.kit import sound_recording

    if (lacking := sound_recording.missing()) is not None:
        raise RuntimeError(f"{lacking} is not installed: no call can be recorded")
    due, off, wrong = calls()
    middle = m.middle(off)
    worst = max(abs(one - middle) for one in off)
    return [
        *rows,
        m.Row("9,600 baud: calls of a day not heard, or not due", wrong, None, 0.0, "", f"of {due}"),
        m.Row("9,600 baud: a call is off, at most", worst, None, 100.0, "ms", f"of {len(off)}"),
    ]


if __name__ == "__main__":
    print(m.table_head())
    for row in measure("--short" in sys.argv):
        print(row)
