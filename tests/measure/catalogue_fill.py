"""Filling the catalogue against what reading the same journals costs anybody.

    python -m tests.measure.catalogue_fill [--short] [PLATES]

The floor lists the folders; of each journal it asks the state, reads it, compares every line's checksum and
decodes it into the journal's own types; at the end the same rows, ready made, go into the same tables of an
SQLite file, indices last. Processor time of one process each, in turns. PLATES (100,000; with --short none)
are then filled as the screens do it: by a process that may share the work among others.
"""

from __future__ import annotations

import marshal
import os
import resource
import sqlite3
import subprocess
import sys
import tempfile
import time
import zlib
from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.log.catalogue import disk_state
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME, CatalogueFile
from darkroom.log.catalogue.fill import fill
from darkroom.log.catalogue.schema import CONTENT, SCHEMA
from darkroom.log.journal.frame import encode
from tests.kit import season
from tests.measure import measure as m

SHORT, LONG, MANY = 1_500, 10_000, 100_000
AIM = 1.5
"""Most of the processor's time that filling may take, in floors."""
MOST_SECONDS = 20.0
"""Most of the time that `MANY` plates may take, on two cores."""
READINGS = 370
"""So many lines after each of some 27 make about 10,000."""
TABLES = (*CONTENT, "files")
SUM = len(b',"sum":"00000000"}')


def without_catalogue(home: Path) -> None:
    """Take the catalogue of a log away."""
    for end in ("", "-wal", "-shm"):
        (home / f"{NAME}{end}").unlink(missing_ok=True)


def filled(home: Path) -> float:
    """Fill a new catalogue in this process; return the seconds of the processor."""
    without_catalogue(home)
    began = time.process_time()
    with Catalogue(home) as catalogue:
        catalogue.check()
    return time.process_time() - began


def rows_of(home: Path) -> bytes:
    """Return the rows of a filled catalogue, by table, packed: loose they would burden both sides."""
    db = sqlite3.connect(home / NAME)
    rows = {table: db.execute(f"SELECT * FROM {table}").fetchall() for table in TABLES}
    db.close()
    return marshal.dumps(rows)


def floor(home: Path, packed: bytes) -> float:
    """Do what nobody can do without; return the seconds of the processor."""
    rows: dict[str, list[tuple[object, ...]]] = marshal.loads(packed)
    copy = home / "floor.sqlite"
    for end in ("", "-wal", "-shm"):
        copy.with_name(copy.name + end).unlink(missing_ok=True)
    began = time.process_time()
    lines = sum(_lines_read(folder) for folder in sorted((home / "plates").glob("*/*")))
    _insert(copy, rows)
    taken = time.process_time() - began
    assert lines > len(rows["plates"])
    return taken


def _lines_read(folder: Path) -> int:
    """Read, check and decode every journal of a day's folder; return how many lines there are."""
    lines, decode, crc32 = 0, ev.READER.decode_lines, zlib.crc32
    with os.scandir(folder) as entries:
        names = sorted(entry.path for entry in entries)
    for name in names:
        os.stat(name)
        with open(name, "rb", buffering=0) as file:
            data = file.read()
        for line in data.splitlines():
            assert line[-SUM:] == b',"sum":"%08x"}' % crc32(line[:-SUM])
        lines += len(decode(data))
    return lines


def _insert(copy: Path, rows: dict[str, list[tuple[object, ...]]]) -> None:
    db = CatalogueFile.connected(copy)
    statements = [statement.strip() for statement in SCHEMA.split(";")]
    later = [statement for statement in statements if statement.startswith("CREATE INDEX")]
    for statement in statements:
        if statement not in later:
            db.execute(statement)
    db.execute("BEGIN IMMEDIATE")
    for table, all_rows in rows.items():
        if all_rows:
            places = ", ".join("?" * len(all_rows[0]))
            db.executemany(f"INSERT INTO {table} VALUES ({places})", all_rows)
    for statement in later:
        db.execute(statement)
    db.execute("COMMIT")
    db.close()


def shared_fill(home: Path) -> tuple[float, float, float]:
    """Fill a new catalogue as the screens do; return seconds, processor seconds, most MB of a process."""
    without_catalogue(home)
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic()
    subprocess.run([sys.executable, "-m", "darkroom.log.catalogue.worker", str(home)], check=True, cwd=m.ROOT)
    after, taken = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic() - began
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return taken, cpu, after.ru_maxrss / 1024


def write_long_plate(home: Path) -> None:
    """Write a plate that was marked, or its thermometer read, `READINGS` times at each of its lines."""
    made = next(season.season(1))
    first, *steps = (ev.READER.decode(line) for line in made.data.splitlines())
    lines: list[ev.AnyEvent] = [first]
    for step in steps:
        lines.append(replace(step, n=len(lines) + 1))
        for number in range(READINGS if step.up is not None else 0):
            kept = {"n": len(lines) + 1, "at": step.at, "up": step.up}
            odd = number % 2
            read = ev.Temperature(**kept, source="bath", celsius=18.0 + number % 7 / 10, from_="probe")  # type: ignore[arg-type]
            lines.append(read if odd else ev.Mark(**kept))  # type: ignore[arg-type]
    folder = home / "plates" / made.day[:4] / made.day
    folder.mkdir(parents=True)
    (folder / f"{made.plate}.jsonl").write_bytes(b"".join(map(encode, lines)))


def long_plate() -> m.Row:
    """Return the row of one plate of ten thousand lines: read for the catalogue, and read alone."""
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        write_long_plate(home)
        [folder] = disk_state.folders(home, [])
        [group] = disk_state.groups(folder, {}, [])

        def timed(work: Callable[[], object]) -> float:
            began = time.process_time()
            work()
            return time.process_time() - began

        pairs = m.paired(
            lambda: timed(lambda: fill(str(folder.path), group)),
            lambda: timed(lambda: _lines_read(folder.path)),
            9,
        )
    return pairs.row("catalogue: one plate of 10,000 lines", 2.0, "ms", "read for it; floor: parsed", 1000)


def measure(short: bool = False, plates: int = MANY) -> list[m.Row]:
    """Return the rows of the table."""
    few = SHORT if short else LONG
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        season.write(home, few)
        filled(home)
        packed = rows_of(home)
        pairs = m.paired(lambda: filled(home), lambda: floor(home, packed), 5 if short else 9)
    note = f"{few} plates, one process; the rest is Python: the fold, 22 rows a plate, their sums"
    rows = [pairs.row("catalogue: filled", AIM, "ms", note, scale=1000), long_plate()]
    if short:
        return rows
    with tempfile.TemporaryDirectory() as name:
        season.write(Path(name), plates)
        taken, cpu, most = shared_fill(Path(name))
    note = f"{cpu:.1f} s of the processor, {most:.0f} MB in the largest process; {os.cpu_count()} cores"
    rows.append(m.Row(f"catalogue: {plates:,} filled", taken, None, MOST_SECONDS * plates / MANY, "s", note))
    return rows


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    print(m.table_head())
    for row in measure("--short" in sys.argv, *numbers):
        print(row)
