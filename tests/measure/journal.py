"""How long an append to a journal takes, against the least that a thread of its own needs for the same bytes.

    python -m tests.measure.journal [--appends N] [--json] [FOLDER]

An append is measured from `JournalWriter.write` to its `Saved` report: encoding, the way to the writer's
thread, write, fsync, and the way back. The floor hands the encoded line to a thread, which writes it, fsyncs
and rings: where an fsync takes a tenth of a millisecond, waking a thread twice takes as long again. They take
turns in one run, on one disk, a plate at a time. Prints both medians, that of a bare write and fsync, and
their ratio; exit status 1 above twice the aim of 1.3. FOLDER is a folder on the disk to measure (default: a
temporary one).
"""

from __future__ import annotations

import argparse
import json
import os
import queue
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from darkroom.bench import events as ev
from darkroom.log.journal import frame
from darkroom.log.journal.write import JournalWriter, Report, Saved

AIM = 1.3
PLATE = "20260301-120000-bench0"
DAY = "2026-03-01"


def stage_ended(n: int) -> ev.StageEnded:
    """Return an event of the usual length."""
    return ev.StageEnded(
        n=n,
        at=f"2026-03-01T13:{n // 60 % 60:02d}:{n % 60:02d}.123+01:00",
        up=1000.0 + n,
        stage="sensitise",
        seconds=211.532,
        planned=210.0,
        how="strike",
    )


def bare(folder: Path, batch: list[bytes]) -> list[float]:
    """Write and fsync each line; return the seconds each took."""
    fd = os.open(folder / "bare.jsonl", os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o666)
    took = []
    try:
        for line in batch:
            began = time.perf_counter()
            os.write(fd, line)
            os.fsync(fd)
            took.append(time.perf_counter() - began)
    finally:
        os.close(fd)
    return took


def floor(folder: Path, batch: list[bytes]) -> list[float]:
    """Let a thread write and fsync each line; return the seconds from handing each over to its bell."""
    lines: queue.SimpleQueue[bytes | None] = queue.SimpleQueue()
    saved = threading.Event()

    def work() -> None:
        fd = os.open(folder / "floor.jsonl", os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o666)
        try:
            while (line := lines.get()) is not None:
                os.write(fd, line)
                os.fsync(fd)
                saved.set()
        finally:
            os.close(fd)

    thread = threading.Thread(target=work)
    thread.start()
    took = []
    for line in batch:
        saved.clear()
        began = time.perf_counter()
        lines.put(line)
        saved.wait()
        took.append(time.perf_counter() - began)
    lines.put(None)
    thread.join()
    return took


class Bell:
    """Rings when a line has been saved."""

    def __init__(self) -> None:
        """Nothing is saved yet."""
        self.saved = threading.Event()

    def __call__(self, report: Report) -> None:
        """Take a report."""
        if isinstance(report, Saved):
            self.saved.set()


def append(writer: JournalWriter, bell: Bell, first: int, count: int) -> list[float]:
    """Append one event after the other; return the seconds from handing it over to `Saved`."""
    took = []
    for n in range(first, first + count):
        event = stage_ended(n)
        bell.saved.clear()
        began = time.perf_counter()
        writer.write(PLATE, DAY, [event])
        bell.saved.wait()
        took.append(time.perf_counter() - began)
    return took


def hand_over(folder: Path, count: int) -> list[float]:
    """Return the seconds that `write` itself keeps its caller, the disk being busy."""
    writer = JournalWriter(folder / "handed", lambda report: None)
    took = []
    for n in range(1, count + 1):
        event = stage_ended(n)
        began = time.perf_counter()
        writer.write(PLATE, DAY, [event])
        took.append(time.perf_counter() - began)
    writer.close(60.0)
    return took


def compare(folder: Path, appends: int, each: int = 20) -> dict[str, float]:
    """Let all take turns, `each` lines at a time; return medians in milliseconds, and our ratio to the floor.

    The ratio is the median of those of the turns: where others use the disk, it is slower for both of a turn.
    """
    bell = Bell()
    writer = JournalWriter(folder / "home", bell)
    synced: list[float] = []
    handed: list[float] = []
    ours: list[float] = []
    ratios: list[float] = []
    append(writer, bell, 1, 5)
    for number in range(max(2, appends // each)):
        first = 6 + number * each
        lines = [frame.encode(stage_ended(n)) for n in range(first, first + each)]
        synced += bare(folder, lines)
        floor_took, our_took = _in_turns(
            lambda lines=lines: floor(folder, lines),  # type: ignore[misc]
            lambda first=first: append(writer, bell, first, each),  # type: ignore[misc]
            floor_first=bool(number % 2),
        )
        handed += floor_took
        ours += our_took
        ratios.append(statistics.median(our_took) / statistics.median(floor_took))
    writer.close(10.0)
    returned = hand_over(folder, min(appends, 500))
    return {
        "fsync_p50_ms": statistics.median(synced) * 1000,
        "floor_p50_ms": statistics.median(handed) * 1000,
        "append_p50_ms": statistics.median(ours) * 1000,
        "append_p99_ms": statistics.quantiles(ours, n=100)[98] * 1000,
        "write_returns_p50_ms": statistics.median(returned) * 1000,
        "ratio": statistics.median(ratios),
        "spread": _spread(ratios),
        "aim": AIM,
    }


def _in_turns(
    floor_turn: Callable[[], list[float]], our_turn: Callable[[], list[float]], *, floor_first: bool
) -> tuple[list[float], list[float]]:
    """Let both have their turn; return what each took: neither always follows the other."""
    if floor_first:
        return floor_turn(), our_turn()
    took = our_turn()
    return floor_turn(), took


def _spread(values: list[float]) -> float:
    """Return half of what lies between the quartiles."""
    low, _, high = statistics.quantiles(values, n=4, method="inclusive")
    return (high - low) / 2


def measure(short: bool = False) -> list[Any]:
    """Return the row of the table of all measurements."""
    from tests.measure import measure as m

    with tempfile.TemporaryDirectory() as name:
        found = compare(Path(name), 500 if short else 2000)
    floor_ms = found["floor_p50_ms"]
    note = f"fsync {found['fsync_p50_ms']:.2f} ms, write returns after {found['write_returns_p50_ms']:.3f} ms"
    ours = found["ratio"] * floor_ms
    return [m.Row("a journal append, p50", ours, floor_ms, AIM * floor_ms, "ms", note, found["spread"])]


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="A journal append against the least that a thread needs.")
    parser.add_argument("folder", nargs="?", type=Path, help="a folder on the disk to measure")
    parser.add_argument("--appends", type=int, default=2000)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=options.folder) as name:
        found = compare(Path(name), options.appends)
    if options.json:
        print(json.dumps(found))
    else:
        for key, value in found.items():
            print(f"{key:22} {value:8.3f}")
    return 1 if found["ratio"] > 2 * AIM else 0


if __name__ == "__main__":
    sys.exit(main())
