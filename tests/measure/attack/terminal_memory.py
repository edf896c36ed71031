"""Plates one after the other at the bench: memory, threads and open files after the first twenty stay flat.

Each plate is finished and the next one is put on from the menu, by keys alone.
"""

from __future__ import annotations

import os
import re
import tempfile
from contextlib import suppress
from pathlib import Path
from statistics import linear_regression
from typing import Any

from tests.kit.journals import by_hand
from tests.kit.letters import reads
from tests.kit.photographer import Photographer
from tests.measure.attack.attempts import Attempts

THREE_STEPS = """\
name: Three steps
sensitive: never
stages:
  - {name: pour, light: white, ends: by_eye, expect: [1 s, 1 min]}
  - {name: wash, light: white, ends: on_time, time: 1 s, patience: 1 min}
  - {name: dry, light: white, ends: by_eye, expect: [1 s, 1 min]}
"""
ONE_STEP = """\
name: One step
sensitive: never
stages:
  - {name: pour, light: white, ends: by_eye, expect: [1 s, 1 min]}
"""
DONE = "This plate is done"
LIKE_THE_LAST = "New plate like the last"
PLATES = (8, 60)
"""Plates in the short form and in the long one."""
FIRST = (4, 20)
"""Plates after which memory must stand."""
SLOPE = (0.3, 0.02)
"""Megabytes for a plate that are growth and not noise."""
STRIKES = 12
"""Strikes that a plate may take at most."""


def attack(short: bool) -> Attempts:
    """Finish plates; compare the memory, threads and open files of the last with the first."""
    attempts = Attempts()
    if not Path("/proc/self/status").exists():
        return attempts.leave_out("memory is read from /proc")
    form = 0 if short else 1
    sizes: list[tuple[float, int, int]] = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        process = folder / "steps.yaml"
        process.write_text(ONE_STEP if short else THREE_STEPS, encoding="utf-8")
        hand = Photographer(folder / "home", XDG_STATE_HOME=str(folder / "state"))
        with hand.terminal:
            hand.open("bench", str(process))
            for _ in range(PLATES[form]):
                if not attempts.expect(_finish(hand), "a plate was not finished"):
                    return attempts
                sizes.append(_size(hand))
                hand.press("escape")
                hand.wait(LIKE_THE_LAST)
                hand.press("space")
                hand.wait(lambda screen: not reads(DONE, screen) and LIKE_THE_LAST not in screen)
    later = sizes[FIRST[form] :]
    slope = linear_regression(range(len(later)), [memory for memory, _, _ in later]).slope
    attempts.figures["MB a plate"] = f"{slope:.3f}"
    attempts.figures["MB at the end"] = f"{later[-1][0]:.1f}"
    attempts.expect(slope < SLOPE[form], f"memory grows by {slope:.3f} MB a plate: {sizes}")
    threads = {threads for _, threads, _ in later}
    attempts.expect(len(threads) == 1, f"threads: {sorted(threads)}")
    if not short:
        files = {files for _, _, files in later}
        attempts.expect(len(files) == 1, f"open files: {sorted(files)}")
    return attempts


def _finish(hand: Photographer) -> bool:
    """Strike until the journal has the plate's end, and then read that it is done; return whether both are.

    The screen alone could be read before it is drawn, and one strike more has a sentence of its own there.
    """
    for _ in range(STRIKES):
        before = _lines(hand)
        hand.press("space")
        with suppress(TimeoutError):  # a strike that came too early has no line
            hand.terminal.wait_until(lambda: len(_lines(hand)) > len(before), 1.5)  # noqa: B023
        if any(line["event"] == "plate_ended" for line in _lines(hand)):
            hand.wait(DONE)
            return True
    return False


def _lines(hand: Photographer) -> list[dict[str, Any]]:
    """Return the whole lines of the youngest plate's journal; one that is just made has none."""
    youngest = max(hand.home.glob("plates/*/*/*.jsonl"), default=None)
    data = b"" if youngest is None else youngest.read_bytes()
    return by_hand(data[: data.rfind(b"\n") + 1]) if b"\n" in data else []


def _size(hand: Photographer) -> tuple[float, int, int]:
    """Return the megabytes that are the tool's own, its threads and its open files."""
    assert hand.terminal.process is not None
    own = Path(f"/proc/{hand.terminal.process.pid}")
    found = re.search(r"RssAnon:\s+(\d+) kB", (own / "status").read_text())
    assert found is not None
    return int(found[1]) / 1024, len(os.listdir(own / "task")), len(os.listdir(own / "fd"))
