"""Reading the book of bottles: 8,000 lines of one bottle, and of five hundred.

The floor is the least that reading needs of what the book uses: the bytes from the disk, the sum of each
line, its event decoded, its time told. What is above it is the order, the fold and what could be wrong.

python -m tests.measure.run bottles
"""

from __future__ import annotations

import os
import tempfile
import time
import zlib
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from darkroom.log.bottles.files import read_shelf
from darkroom.log.journal import frame
from darkroom.solutions import events as ev
from tests.measure import measure as m

LINES = 8000
BENCH = "a" * 16
AIM = 4.0
"""Times the floor: 100 ms for 8,000 lines of one bottle where the floor takes 25 ms."""


def made(home: Path, bottles: int) -> Path:
    """Write LINES lines in so many bottles; return the folder of the log."""
    each = LINES // bottles
    for number in range(bottles):
        bottle = f"20260514-{number:06}-aaaaaa"
        start = ev.Made(
            n=1, at=_time(0), up=None, bottle=bottle, name=f"B-{number}", what="bath", schema=1,
            version="0", bench=BENCH, volume=1000.0, strength=9.0,
        )  # fmt: skip
        lines = [start, *(_line(n) for n in range(2, each + 1))]
        path = home / "bottles" / bottle / f"{BENCH}.jsonl"
        path.parent.mkdir(parents=True)
        path.write_bytes(b"".join(map(frame.encode, lines)))
    return home


def _time(n: int) -> str:
    return datetime.fromtimestamp(1.7e9 + 3600.0 * n, UTC).isoformat(timespec="milliseconds")


def _line(n: int) -> ev.BottleEvent:
    at = _time(n)
    match n % 4:
        case 0:
            return ev.Treated(n=n, at=at, up=None, how="filtered")
        case 1:
            return ev.Measured(n=n, at=at, up=None, what="density", value=1.07, celsius=20.0, strength=8.6)
        case 2:
            return ev.Note(n=n, at=at, up=None, text="smells of ether")
        case _:
            return ev.ToppedUp(n=n, at=at, up=None, grams=3.0, volume=1000.0, strength=9.0)


def least(home: Path) -> int:
    """Read, sum and decode every line and tell its time; return how many there are."""
    count = 0
    for folder, _, names in os.walk(home / "bottles"):
        for name in names:
            data = Path(folder, name).read_bytes()
            for line in data.split(b"\n")[:-1]:
                zlib.crc32(line[:-18])
            for event in ev.READER.decode_lines(data):
                datetime.fromisoformat(event.at).timestamp()
                count += 1
    return count


def milliseconds(work: Callable[[], object]) -> float:
    """Return how long a piece of work takes."""
    start = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - start)


def measure(short: bool = False) -> list[m.Row]:
    """Read both books in turn with their floors; compare medians."""
    rows = []
    for bottles, what in ((1, "8,000 lines of one bottle read"), (500, "8,000 lines of 500 bottles read")):
        with tempfile.TemporaryDirectory() as name:
            home = made(Path(name), bottles)
            assert least(home) == sum(len(one.entries) for one in read_shelf(home).bottles.values()) == LINES
            pairs = [
                (milliseconds(lambda: least(home)), milliseconds(lambda: read_shelf(home)))  # noqa: B023
                for _ in range(7 if short else 25)
            ]
        floor, value = (m.middle(times) for times in zip(*pairs, strict=True))
        rows.append(m.Row(what, value, floor, AIM * floor, "ms"))
    return rows


if __name__ == "__main__":
    for row in measure():
        print(row)
