"""The log on the screen with many plates: opened, filtered as one types, after one new plate, its memory.

    python -m tests.measure.review [PLATES] [--keep FOLDER] [--json]

Everything is measured from outside, in a real terminal of 80 × 24: from exec or from a key to the byte
that completes what is waited for. Floors: the same SQL through `sqlite3` alone, an empty application.
A season of PLATES (default 100,000) takes minutes to write and to index; --keep uses the one in FOLDER
again, and makes it there at first.
"""

from __future__ import annotations

import argparse
import json
import shutil
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pyte
from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.journal.plate_lines import READER
from darkroom.log.journal.write import JournalWriter
from darkroom.log.store.bench_files import BenchBook
from tests.kit import season
from tests.kit.terminal import OTHER_SCREEN, UNKNOWN, PlainScreen, Terminal
from tests.measure import measure as m

SHORT, LONG, FEW = 10_000, 100_000, 100
COLUMNS, ROWS = 80, 24
LOOK = (sys.executable, "-m", "darkroom", "log", "look")
PLATE_ROWS = range(3, 22)
"""Where the plates stand at 80 × 24."""
PAGE = 3 * len(PLATE_ROWS)
"""The screen asks for a page more at either end of what it shows."""
TYPED = ("ferns fog", "orchard", "smith", "tintype 5", "jugs veil")
"""What is typed into the filter, sign by sign, and taken back."""
EMPTY_STARTS = 1.3
"""The list may take so many starts of an empty app, beside the SQL."""
NEW_DAY, NEW_NUMBER = "2027-01-01", 900_000


# --- the logs ------------------------------------------------------------------------------------


def prepared(home: Path, plates: int) -> Path:
    """Return a log of so many plates with its catalogue up to date; made where it is not there."""
    if not home.exists():
        season.write(home, plates)
    time.sleep(0.2)  # what was changed a moment ago counts as unknown
    with Catalogue(home) as catalogue:
        catalogue.check(helpers=2)
        catalogue.check()
    book = BenchBook(home)  # as the bench that made them leaves it: it need not count them anew
    book.save({"plates": [], "number": plates})
    book.close()
    return home


def new_plate(home: Path, number: int) -> None:
    """Put one more plate into the log, the newest, as the bench does."""
    plate = f"20270101-{number:06d}-zzzzzz"
    (made,) = season.season(1, seed=number)
    events: list[Any] = [READER.decode(line) for line in made.data.split(b"\n")[:-1]]
    events[0] = replace(
        events[0], plate=plate, number=NEW_NUMBER + number, at=f"{NEW_DAY}T10:00:00.000+01:00"
    )
    assert isinstance(events[0], ev.PlateStarted)
    writer = JournalWriter(home, lambda _: None)
    writer.write(plate, NEW_DAY, events)
    writer.close(30)


def without_new_plates(home: Path) -> None:
    """Take the new plates away again."""
    shutil.rmtree(home / "plates" / NEW_DAY[:4] / NEW_DAY, ignore_errors=True)
    with Catalogue(home) as catalogue:
        catalogue.check()


# --- the screen ------------------------------------------------------------------------------------


@contextmanager
def looking(home: Path, argv: Sequence[str] = LOOK) -> Iterator[Terminal]:
    """Look at a log in a terminal."""
    with tempfile.TemporaryDirectory(prefix="darkroom-bench-") as state:
        env = {"DARKROOM_HOME": str(home), "XDG_STATE_HOME": state, "PYTHONPATH": str(m.ROOT)}
        with Terminal(COLUMNS, ROWS, env=env) as terminal:
            terminal.spawn(argv, cwd=str(m.ROOT))
            yield terminal


class Film:
    """What a terminal shows, chunk by chunk, each with its instant."""

    def __init__(self, terminal: Terminal) -> None:
        self.terminal = terminal
        self.screen = PlainScreen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self.screen)
        self._seen = 0

    def until(self, shown: Callable[[list[str]], bool], timeout: float = 60.0) -> float:
        """Return the instant of the byte with which the screen shows it. Raises TimeoutError."""
        end = time.monotonic() + timeout
        at = time.monotonic()
        while not shown(self.screen.display):
            while self._seen == len(self.terminal.chunks):
                if time.monotonic() > end:
                    raise TimeoutError("not shown; the screen was:\n" + "\n".join(self.screen.display))
                time.sleep(0.001)
            at, chunk = self.terminal.chunks[self._seen]
            self._seen += 1
            self._stream.feed(UNKNOWN.sub(b"", OTHER_SCREEN.sub(b"\x1b[2J\x1b[H", chunk)))
        return at


def full(display: list[str]) -> bool:
    """Whether every row of the list has a plate."""
    return all(display[row][:33].strip() for row in PLATE_ROWS)


def settled(display: list[str]) -> bool:
    """Whether every journal was looked at."""
    return full(display) and "reading" not in display[0]


def opened(home: Path, shown: Callable[[list[str]], bool] = full) -> float:
    """Return the seconds from exec until the list shows it."""
    with looking(home) as terminal:
        return Film(terminal).until(shown) - terminal.started


def filtered(home: Path, floor: Floor) -> tuple[list[float], list[float]]:
    """Type and take back; return the seconds until the screen tells how many answer, and those of the SQL."""
    found, alone = [], []
    with looking(home) as terminal:
        film = Film(terminal)
        film.until(settled)
        time.sleep(2.0)
        count, total = floor.count(""), floor.count("")
        for key, text in strokes():
            before, count = count, floor.count(text)
            at = terminal.send(key)
            if count == before:  # nothing to be seen: the next key waits for its answer
                time.sleep(0.5)
                continue
            told = f" {count:,}, newest" if count == total else f" {count:,} of {total:,}, newest"
            found.append(film.until(lambda display, told=told: told in display[0]) - at)
            alone.append(floor.page(text))
            time.sleep(0.05)
    return found, alone


def strokes() -> Iterator[tuple[str, str]]:
    """Yield (key, what the filter then holds): every text typed and taken back."""
    for words in TYPED:
        yield from ((words[end - 1], words[:end]) for end in range(1, len(words) + 1))
        yield from (("backspace", words[:end]) for end in range(len(words) - 1, -1, -1))


def memory(home: Path, total: int) -> float:
    """Return the most megabytes the tool had, its list scrolled to the end and filtered once."""
    with looking(home) as terminal:
        film = Film(terminal)
        film.until(settled)
        for key, shown in (("end", " 1 Apr"), ("home", f"{total} ")):
            terminal.send(key)
            film.until(lambda display, shown=shown: any(shown in line for line in display[3:22]))
        for sign in "ferns":
            terminal.send(sign)
            time.sleep(0.3)
        film.until(lambda display: " of " in display[0])
        return peak(m.pid_of(terminal))


def peak(pid: int) -> float:
    """Return the most memory a process has had, in megabytes (VmHWM)."""
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) / 1024
    raise RuntimeError("the system does not tell the most memory a process had")


# --- the floors ------------------------------------------------------------------------------------


class Floor:
    """The catalogue asked by `sqlite3` alone."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self._db = sqlite3.connect(home / NAME)
        self._counts: dict[str, int] = {}

    def count(self, words: str) -> int:
        """Return how many plates answer."""
        if words not in self._counts:
            where, values = Query(words=words.strip()).where()
            asked = f"SELECT count(*) FROM plates WHERE {where}"
            self._counts[words] = self._db.execute(asked, values).fetchone()[0]
        return self._counts[words]

    def page(self, words: str) -> float:
        """Return the seconds of a page's questions: how many answer, and the first of them."""
        query = Query(words=words.strip())
        where, values = query.where()
        began = time.perf_counter()
        self._db.execute(f"SELECT count(*) FROM plates WHERE {where}", values).fetchone()
        asked = f"SELECT * FROM plates WHERE {where} ORDER BY {query.order_by()} LIMIT {PAGE}"
        self._db.execute(asked, values).fetchall()
        return time.perf_counter() - began

    def anew(self) -> float:
        """Return the seconds of opening the catalogue and asking for the first page."""
        began = time.perf_counter()
        Floor(self.home).page("")
        return time.perf_counter() - began


def compare(home: Path, plates: int, times: int) -> dict[str, float]:
    """Measure; times in milliseconds, memory in megabytes."""
    floor = Floor(home)
    starts, sql, after, seen = [], [], [], []

    def base() -> float:
        with m.running(m.EMPTY, COLUMNS, ROWS) as terminal:
            starts.append(m.first_frame(terminal))
        sql.append(floor.anew())
        return sql[-1] + EMPTY_STARTS * starts[-1]

    first = m.paired(lambda: opened(home), base, times)
    keys, alone = filtered(home, floor)
    try:
        for number in range(times):
            new_plate(home, 2 * number)
            after.append(opened(home))
            new_plate(home, 2 * number + 1)
            told = str(NEW_NUMBER + 2 * number + 1)
            seen.append(opened(home, lambda display, told=told: any(told in line for line in display)))
    finally:
        without_new_plates(home)
    with tempfile.TemporaryDirectory() as name:
        small = memory(prepared(Path(name) / "home", FEW), FEW)
    large = memory(home, plates)
    return {
        "empty": 1000 * m.middle(starts),
        "first_page_sql": 1000 * m.middle(sql),
        "first_page": 1000 * first.value,
        "first_page_base": 1000 * first.floor,
        "first_page_ratio": first.ratio,
        "first_page_spread": first.spread,
        "typed_sql_p99": 1000 * m.percentile(alone, 0.99),
        "typed_p99": 1000 * m.percentile(keys, 0.99),
        "typed_p50": 1000 * m.middle(keys),
        "first_page_after_one": 1000 * m.middle(after),
        "new_plate_shown": 1000 * m.middle(seen),
        "memory": large,
        "memory_few": small,
    }


def rows(found: dict[str, float], plates: int) -> list[m.Row]:
    """Return the rows of the table."""
    start, page, sql = found["empty"], found["first_page"], found["typed_sql_p99"]
    pairs = m.Pairs(page, found["first_page_base"], found["first_page_ratio"], found["first_page_spread"])
    sql_ms = found["first_page_sql"]
    note = f"{plates} plates; the floor is SQL {sql_ms:.1f} and {EMPTY_STARTS} × {start:.0f}"
    return [
        pairs.row("review: first page of the list", 1.0, "ms", note),
        m.Row(
            "review: filter as you type, p99",
            found["typed_p99"],
            sql,
            sql + 50,
            "ms",
            f"key to screen; p50 {found['typed_p50']:.0f}",
        ),
        m.Row(
            "review: first page after one new plate",
            found["first_page_after_one"],
            page,
            page + 100,
            "ms",
            f"the plate itself shown after {found['new_plate_shown']:.0f}",
        ),
        m.Row(
            "review: memory, scrolled and filtered",
            found["memory"],
            found["memory_few"],
            1.2 * found["memory_few"],
            "MB",
            f"the floor is with {FEW} plates",
        ),
    ]


def measure(short: bool = False) -> list[m.Row]:
    """Return the rows of the table of all measurements."""
    plates = SHORT if short else LONG
    with tempfile.TemporaryDirectory() as name:
        return rows(compare(prepared(Path(name) / "home", plates), plates, 5), plates)


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="The log on the screen against plain SQL and an empty tool.")
    parser.add_argument("plates", nargs="?", type=int, default=LONG)
    parser.add_argument("--keep", type=Path, help="a folder for the season, used again")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        home = prepared((options.keep or Path(name)) / f"season-{options.plates}", options.plates)
        found = compare(home, options.plates, 9)
    if options.json:
        print(json.dumps(found))
    else:
        print(*rows(found, options.plates), sep="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
