"""The catalogue of many plates against floors of the same run: first page, filter, one new plate, bottles.

    python -m tests.measure.catalogue [PLATES] [--json]

A season of PLATES (default 10,000) invented plates is written to a temporary folder. The floor is the same
SQL through `sqlite3` alone. Filling has a module of its own, `catalogue_fill`.
"""

from __future__ import annotations

import argparse
import json
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from darkroom.bench import events as ev
from darkroom.log.bottles.files import path_of
from darkroom.log.catalogue.bottle_book import bottle_book
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.journal import append, frame
from darkroom.solutions import events as bottle_events
from tests.kit import season
from tests.measure import measure as m

SHORT, LONG = 3_000, 10_000
BOTTLES = 500
PAGE = 60
"""Rows of the first page: more than any terminal shows."""
TYPED = ("f", "fe", "fer", "ferns", "ferns f", "ferns fog", "o", "ot", "orchard", "tint", "tintype 5", "zzz")
"""What a filter holds while it is typed."""


def took(work: Callable[[], object]) -> float:
    """Return the seconds that the work takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def compare(home: Path, plates: int) -> dict[str, float]:
    """Measure; times in milliseconds."""
    paths = season.write(home, plates)
    with Catalogue(home) as catalogue:
        catalogue.rebuild(None, 2)
    bare = sqlite3.connect(home / NAME)
    first: list[float] = []
    first_floor: list[float] = []
    for _ in range(20):
        first.append(took(lambda: _first_page(home)))
        first_floor.append(took(lambda: _bare_page(home)))
    typed: list[float] = []
    typed_floor: list[float] = []
    with Catalogue(home) as catalogue:
        for _ in range(10):
            for words in TYPED:
                asked = Query(words=words)
                where, values = asked.where()
                sql = f"SELECT * FROM plates WHERE {where} ORDER BY {asked.order_by()} LIMIT {PAGE}"
                typed_floor.append(took(lambda sql=sql, values=values: bare.execute(sql, values).fetchall()))
                typed.append(took(lambda asked=asked: catalogue.plates(asked, limit=PAGE)))
    one_more: list[float] = []
    for number in range(10):
        append.add(home, paths[number], one_more_line)
        one_more.append(took(lambda: _first_page(home)))
    with Catalogue(home) as catalogue:
        check = took(catalogue.check)
    bare.close()
    found = {
        "check": check,
        "first_page": statistics.median(first),
        "first_page_floor": statistics.median(first_floor),
        "typed_p99": statistics.quantiles(typed, n=100)[98],
        "typed_floor_p99": statistics.quantiles(typed_floor, n=100)[98],
        "first_page_after_one": statistics.median(one_more),
    }
    return {name: value * 1000 for name, value in found.items()}


def compare_bottles(folder: Path, plates: int) -> dict[str, float]:
    """Measure a log whose plates name five bottles each, joined with a book of BOTTLES; milliseconds.

    The floor is the fill of the same plates that name none. Each is the best of three: what a busy machine
    adds would hide a difference of some per cent.
    """
    named, plain = folder / "named", folder / "plain"
    season.write(plain, plates, bottles=lambda number: {})
    season.write(named, plates, bottles=lambda number: _five(number, plates))
    for number in range(BOTTLES // len(_FIVE)):
        for role in _FIVE:
            bottle = f"{role}-{number}"
            members = {
                "bottle": bottle,
                "name": bottle,
                "what": role,
                "schema": 1,
                "version": "0",
                "bench": "b",
            }
            line = bottle_events.Made(n=1, at="2026-03-01T08:00:00.000+00:00", up=None, **members)  # type: ignore[arg-type]
            path = path_of(named, bottle, "b")
            path.parent.mkdir(parents=True)
            path.write_bytes(frame.encode(line))
    fills: dict[Path, list[float]] = {named: [], plain: []}
    joins: list[float] = []
    for _ in range(3):
        for home in (plain, named):
            with Catalogue(home) as catalogue:
                fills[home].append(took(catalogue.rebuild))
        joins.append(took(lambda: bottle_book(named, {}, 1.8e9)))
    book = bottle_book(named, {}, 1.8e9)
    assert len(book.uses) == BOTTLES and not book.unknown_plates and not book.trouble
    assert sum(map(len, book.uses.values())) > 3 * plates
    found = {"fill_plain": min(fills[plain]), "fill_named": min(fills[named]), "joined": min(joins)}
    return {name: value * 1000 for name, value in found.items()}


_FIVE = ("collodion", "bath", "developer", "fixer", "varnish")


def _five(number: int, plates: int) -> dict[str, str]:
    """Return five bottles of a plate, of each role one after the other in turn."""
    of_each = BOTTLES // len(_FIVE)
    return {role: f"{role}-{min(of_each - 1, number * of_each // (plates + 1))}" for role in _FIVE}


def one_more_line(n: int) -> ev.Note:
    """Return a note written at review."""
    return ev.Note(n=n, at="2026-12-01T10:00:00.000+01:00", up=None, text="one more")


def _first_page(home: Path) -> None:
    with Catalogue(home) as catalogue:
        catalogue.read_changes()
        rows = catalogue.plates(limit=PAGE)
    assert len(rows) == PAGE


def _bare_page(home: Path) -> None:
    db = sqlite3.connect(home / NAME)
    asked = Query()
    where, values = asked.where()
    db.execute(
        f"SELECT * FROM plates WHERE {where} ORDER BY {asked.order_by()} LIMIT {PAGE}", values
    ).fetchall()
    db.close()


def measure(short: bool = False) -> list[Any]:
    """Return the rows of the table of all measurements."""
    with tempfile.TemporaryDirectory() as name:
        plates = SHORT if short else LONG
        found = compare(Path(name), plates)
    with tempfile.TemporaryDirectory() as name:
        bottles = compare_bottles(Path(name), plates)
    return [
        m.Row(
            "catalogue: first page",
            found["first_page"],
            found["first_page_floor"],
            found["first_page_floor"] + 100,
            "ms",
            "the screen's start comes on top",
        ),
        m.Row(
            "catalogue: filter as you type, p99",
            found["typed_p99"],
            found["typed_floor_p99"],
            found["typed_floor_p99"] + 50,
            "ms",
        ),
        m.Row(
            "catalogue: first page after one new line",
            found["first_page_after_one"],
            found["first_page"],
            found["first_page"] + 100,
            "ms",
        ),
        m.Row(
            "catalogue: check of every file",
            found["check"],
            None,
            2000.0,
            "ms",
            "a line by hand shows within 2 s",
        ),
        m.Row(
            "catalogue: joined with 500 bottles",
            bottles["joined"],
            bottles["fill_plain"],
            0.05 * bottles["fill_plain"],
            "ms",
            f"of the filling; with the uses of five bottles a plate it takes {bottles['fill_named']:.0f} ms",
        ),
    ]


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="The catalogue against plain SQL.")
    parser.add_argument("plates", nargs="?", type=int, default=LONG)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        found = compare(Path(name), options.plates)
    with tempfile.TemporaryDirectory() as name:
        found |= compare_bottles(Path(name), options.plates)
    if options.json:
        print(json.dumps(found))
    else:
        for key, value in found.items():
            print(f"{key:22} {value:10.2f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
