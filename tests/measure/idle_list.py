"""The list of plates left alone: its processor time, how often it wakes, how soon a line by hand shows.

    python -m tests.measure.idle_list [--short] [--keep FOLDER]

The floor is an empty app of the same toolkit. `--keep` uses the seasons in
FOLDER again, and makes them there at first.
"""

from __future__ import annotations

import argparse
import os
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from darkroom.bench import events as ev
from darkroom.log.catalogue.database import NAME
from darkroom.log.journal import frame
from tests.kit.terminal import Terminal
from tests.measure import idle, review
from tests.measure import measure as m

SIZES = (10_000, 100_000)
SETTLING = 3.0
"""So long after the last journal was compared nothing is counted, in seconds."""


@contextmanager
def list_of(home: Path) -> Iterator[tuple[Terminal, review.Film]]:
    """Show the list of a log, every journal of it compared."""
    with review.looking(home) as terminal:
        film = review.Film(terminal)
        film.until(review.settled)
        time.sleep(SETTLING)
        yield terminal, film


def journals(home: Path) -> tuple[Path, Path]:
    """Return the first files of the newest plate, which is in sight, and of the oldest."""
    db = sqlite3.connect(home / NAME)
    sql = "SELECT path FROM plates WHERE shelf = 'plates' ORDER BY plate {} LIMIT 1"
    newest, oldest = (Path(db.execute(sql.format(order)).fetchone()[0]) for order in ("DESC", "ASC"))
    db.close()
    return newest, oldest


@contextmanager
def one_more_line(path: Path, stars: int) -> Iterator[float]:
    """Add a line to a journal as an editor would; yield the instant, and take the line away at the end."""
    data = path.read_bytes()
    n = data.count(b"\n") + 1
    with path.open("ab") as file:
        file.write(frame.encode(ev.Rating(n=n, at="2027-01-01T10:00:00.000+01:00", up=None, stars=stars)))
    try:
        yield time.monotonic()
    finally:
        path.write_bytes(data)


def shown_after(film: review.Film, path: Path) -> float:
    """Return the seconds until the list shows other stars of its newest plate, added by hand."""
    place = review.PLATE_ROWS[0]
    row = film.screen.display[place]
    with one_more_line(path, 1 if "***" in row else 5) as begun:
        after = film.until(lambda display: display[place] != row) - begun
    film.until(lambda display: display[place] == row)
    return after


def known_after(home: Path, path: Path) -> float:
    """Return the seconds until the catalogue knows other stars of a plate out of sight, added by hand."""
    db = sqlite3.connect(home / NAME, isolation_level=None)
    sql = "SELECT stars FROM plates WHERE path = ?"
    before = db.execute(sql, (str(path),)).fetchone()
    with one_more_line(path, 1 if before[0] != 1 else 5) as begun:
        while db.execute(sql, (str(path),)).fetchone() == before:
            if time.monotonic() - begun > 200:
                raise TimeoutError("a line added by hand to an old plate was never found")
            time.sleep(0.2)
        return time.monotonic() - begun


def states_alone(home: Path) -> float:
    """Return the per cent of a core that it takes to ask for the state of every journal once a minute."""
    begun = time.process_time()
    for folder in home.glob("plates/*/*"):
        fd = os.open(folder, os.O_RDONLY)
        for name in os.listdir(fd):
            os.stat(name, dir_fd=fd)
        os.close(fd)
    return 100 * (time.process_time() - begun) / 60


def rows_of(home: Path, plates: int, seconds: float, short: bool) -> list[m.Row]:
    """Return the rows of one log."""
    floor = idle.empty(seconds)
    newest, oldest = journals(home)
    with list_of(home) as (terminal, film):
        found = idle.use(terminal, seconds)
        in_sight = shown_after(film, newest)
        out_of_sight = None if short else known_after(home, oldest)
    what = f"list of {plates:,}"
    note = f"of it {states_alone(home):.2f} % for the state of each file once a minute, asked for alone"
    rows = [
        m.Row(f"{what} idle: processor", found.processor, floor.processor, idle.MOST_PROCESSOR, "%", note),
        m.Row(f"{what} idle: bytes to the terminal", found.bytes, None, 0, "B/s"),
        m.Row(f"{what} idle: wake-ups", found.wake_ups, floor.wake_ups, idle.MOST_WAKE_UPS, "/s"),
        m.Row(f"{what}: a line by hand in sight", in_sight, None, 2.0, "s", "shown after"),
    ]
    if out_of_sight is not None:
        rows.append(
            m.Row(f"{what}: a line by hand out of sight", out_of_sight, None, 60.0, "s", "known after")
        )
    return rows


def measure(short: bool = False, keep: Path | None = None) -> list[m.Row]:
    """Return the rows of each size; the short one is of the small log alone."""
    found: list[m.Row] = []
    for plates in SIZES[: 1 if short else None]:
        with tempfile.TemporaryDirectory() as name:
            home = review.prepared((keep or Path(name)) / f"season-{plates}", plates)
            found += rows_of(home, plates, 10.0 if short else 60.0, short)
    return found


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="The list of plates left alone.")
    parser.add_argument("--keep", type=Path, help="a folder for the seasons, used again")
    parser.add_argument("--short", action="store_true")
    options = parser.parse_args()
    for row in measure(options.short, options.keep):
        print(row)


if __name__ == "__main__":
    main()
