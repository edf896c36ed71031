"""What lies in the folders when the tool starts, an hour of anything, and estimated times on the screen."""

from __future__ import annotations

import random
import tempfile
import time
from pathlib import Path

from darkroom.log.store import paths
from darkroom.screens.widgets.plate_summary import DOUBTS
from tests.kit.letters import reads
from tests.kit.odd_journals import COMES_BACK, GOOD, ODD, STAYS_AWAY, bench_lines, with_members, write
from tests.kit.odd_starts import (
    Started,
    afresh,
    any_json,
    failure_of_start,
    mutate,
    own_folders,
    write_book,
)
from tests.kit.random_hour import RandomHour
from tests.kit.terminal import Terminal
from tests.measure.attack.attempts import Attempts, tool

SEED = 9
BOOK_KEYS = ("plates", "large", "brightness", "number", "form", "day")
BOOKS = (
    {"number": "abc"}, {"number": [1]}, {"number": True}, {"number": 10**30}, {"large": [1]},
    {"large": "none"}, {"brightness": "x"}, {"brightness": 10**30}, {"plates": {"a": 1}},
    {"plates": [7, "a\0b"]}, {"form": [1]}, {"day": {}},
    {"form": {"process": "/dev/zero", "read_at": {"bath": 10**30}}},
)  # fmt: skip
"""Values of wrong types for bench.json, each tried on the tool in a terminal."""
SIZES = [(40, 12), (40, 24), (48, 16), (60, 18), (80, 24), (100, 30), (120, 40), (160, 50), (200, 60)]


def attack(short: bool) -> Attempts:
    """Start beside odd journals and odd files of the bench, live through hours, read estimated times."""
    attempts = Attempts()
    rng = random.Random(SEED)
    with tempfile.TemporaryDirectory() as folder, own_folders(Path(folder)) as home:
        _odd_starts(attempts, home, rng, 15 if short else 800)
        _hours(attempts, Path(folder), 2 if short else 100)
        _in_terminals(attempts, home, short)
        _estimates(attempts, home, SIZES[::8] if short else SIZES)
    return attempts


def _odd_starts(attempts: Attempts, home: Path, rng: random.Random, count: int) -> None:
    """Start in this process beside each odd journal, mutated ones, and any JSON in bench.json."""
    for what, make in [*COMES_BACK.items(), *((what, made[0]) for what, made in STAYS_AWAY.items())]:
        afresh(home)
        make(home)
        failure = failure_of_start(home)
        attempts.expect(failure is None, f"{what}: {failure}")
    for _ in range(count):
        afresh(home)
        what = mutate(home, rng)
        failure = failure_of_start(home)
        attempts.expect(failure is None, f"{what}: {failure}")
        afresh(home)
        key, value = rng.choice(BOOK_KEYS), any_json(rng)
        write_book(home, **{key: value})
        failure = failure_of_start(home)
        attempts.expect(failure is None, f"bench.json {key} {value!r}: {failure}")


def _hours(attempts: Attempts, folder: Path, count: int) -> None:
    """Live through hours of anything; each action is an attempt."""
    kills = actions = 0
    for seed in range(count):
        hour = RandomHour(folder / f"hour-{seed}", SEED * 1000 + seed)
        hour.live()
        attempts.many(hour.actions, [f"hour {seed}: {failure}" for failure in hour.failures])
        kills, actions = kills + hour.kills, actions + hour.actions
    attempts.figures["hours"] = f"{count} with {actions} actions and {kills} kills"


def _in_terminals(attempts: Attempts, home: Path, short: bool) -> None:
    """Start the tool beside odd journals and with odd bench.json; the good plate comes back every time."""
    slowest = 0.0
    journals = [*COMES_BACK.items(), *((what, made[0]) for what, made in STAYS_AWAY.items())]
    for what, make in journals[::20] if short else journals:
        afresh(home)
        make(home)
        begun = time.monotonic()
        failure = Started(tool(), home).failure()
        slowest = max(slowest, time.monotonic() - begun)
        attempts.expect(failure is None, f"{what}, in a terminal: {failure}")
    for book in BOOKS[::12] if short else BOOKS:
        afresh(home)
        write_book(home, **book)
        failure = Started(tool(), home).failure()
        attempts.expect(failure is None, f"bench.json {book}, in a terminal: {failure}")
    attempts.figures["slowest start to end, s"] = f"{slowest:.1f}"


def _estimates(attempts: Attempts, home: Path, sizes: list[tuple[int, int]]) -> None:
    """After another start of the machine the bench, its rail and the strip above the menu say so."""
    for columns, rows in sizes:
        for behind in (False, True):
            _put_estimated(home, behind)

            def says(screen: str, forms: tuple[str, ...] = DOUBTS[behind]) -> bool:
                return any(reads(form, screen) or _has_words(form, screen) for form in forms)

            def look(terminal: Terminal) -> str | None:
                terminal.wait_for(says, 5.0)
                terminal.send("escape")
                terminal.wait_for(lambda screen: "New plate like the last" in screen and says(screen), 5.0)
                return None

            failure = Started(tool(), home, columns, rows).failure(look)
            attempts.expect(failure is None, f"estimated times, {columns} by {rows}, {behind=}: {failure}")
        if columns >= 60:
            failure = _beside_an_exact_one(home, columns, rows)
            attempts.expect(failure is None, f"estimated in the rail, {columns} by {rows}: {failure}")


def _has_words(form: str, screen: str) -> bool:
    """Return whether every word of it stands there: it may take two rows."""
    words = set(screen.split())
    return words.issuperset(form.split())


def _put_estimated(home: Path, behind: bool) -> None:
    """Write a plate of another start of the machine, the wall clock behind its last line or not."""
    afresh(home)
    at = "2099-01-01T00:00:00.000+00:00" if behind else "2026-03-01T00:05:00.000+01:00"
    first, *rest = bench_lines(GOOD, boot="another start", subject="glass")
    write(home, GOOD, [first, *(with_members(line, at=at) for line in rest)])


def _beside_an_exact_one(home: Path, columns: int, rows: int) -> str | None:
    """See a plate of this start large, and one of another start in the rail: only that one says so."""
    _put_estimated(home, False)
    write(home, ODD, bench_lines(ODD, "develop", boot=paths.boot_id(), number=2))
    write_book(home, plates=[GOOD, ODD], large=ODD)

    def once(terminal: Terminal) -> str | None:
        terminal.wait_for(lambda screen: screen.count("estimated") == 1, 5.0)
        screen = terminal.whole_screen()
        return None if "times estimated" not in screen else "said of the exact plate"

    return Started(tool(), home, columns, rows).failure(once)
