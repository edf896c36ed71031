"""A writer of the book of bottles killed at any instant: what it said was saved is there, whole."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from darkroom.log.bottles import files
from darkroom.solutions import events as ev
from tests.kit.bottles import time_text

BENCH = "a" * 16
WRITER = f"""
import sys
from pathlib import Path
from darkroom.log.bottles import files
from darkroom.solutions import events as ev
while True:
    def build(n):
        return [ev.Note(n=n, at="2026-05-14T09:00:00.000+02:00", up=None, text="x" * 5000)]
    print(files.append(Path(sys.argv[1]), "b1", "{BENCH}", build)[0].n, flush=True)
"""
KILLS = 8


def test_what_was_saved_is_there_after_a_kill(tmp_path: Path) -> None:
    """Each number that was printed is a line; none comes twice, and a torn line costs nothing but itself."""
    made = ev.Made(
        n=1, at=time_text(1.0), up=None, bottle="b1", name="B-1", what="bath", schema=1, version="0",
        bench=BENCH,
    )  # fmt: skip
    files.append(tmp_path, "b1", BENCH, lambda n: [made])
    saved: list[int] = []
    for kill in range(KILLS):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(tmp_path)], stdout=subprocess.PIPE, text=True
        )
        assert writer.stdout is not None
        for _ in range(1 + 3 * kill):
            saved.append(int(writer.stdout.readline()))
        writer.kill()
        saved += [int(word) for word in writer.stdout.read().split()]
        writer.wait()
        writer.stdout.close()
    shelf = files.read_shelf(tmp_path)
    numbers = [entry.event.n for entry in shelf.bottles["b1"].entries]
    assert len(saved) == len(set(saved)) >= KILLS
    assert set(saved) <= set(numbers) and len(numbers) == len(set(numbers))
    assert len(shelf.problems) <= KILLS and len(numbers) <= len(saved) + 1 + KILLS
