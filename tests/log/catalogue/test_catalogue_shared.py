"""The catalogue's file deleted, damaged, held by others, on a full disk; filled by several at once."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from darkroom.log.catalogue import database, fill
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.journal import append, frame
from tests.kit.catalogue import by_hand, fresh, note

pytestmark = pytest.mark.usefixtures("settled")


def test_deleting_it_loses_nothing(home: Path, plates: list[Path]) -> None:
    """A catalogue that is gone comes back the same from the journals."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        before = catalogue.content()
    for end in ("", "-wal", "-shm"):
        (home / f"{NAME}{end}").unlink(missing_ok=True)
    with Catalogue(home) as catalogue:
        catalogue.read_changes()
        assert catalogue.content() == before


@pytest.mark.parametrize("damage", ["rubbish", "torn", "other version", "middle"])
def test_a_damaged_catalogue_is_filled_anew(home: Path, plates: list[Path], damage: str) -> None:
    """Whatever stands in its file, the answers are those of the journals."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        before = catalogue.content()
    path = home / NAME
    data = bytearray(path.read_bytes())
    if damage == "rubbish":
        path.write_bytes(b"no catalogue " * 1000)
    elif damage == "torn":
        path.write_bytes(bytes(data[: len(data) // 3]))
    elif damage == "middle":
        data[4096:] = b"\xff" * (len(data) - 4096)
        path.write_bytes(bytes(data))
    else:
        db = sqlite3.connect(path)
        db.executescript('DROP TABLE stages; CREATE TABLE "odd "" name" (x); PRAGMA user_version = 99')
        db.close()
    with Catalogue(home) as catalogue:
        catalogue.read_changes()
        assert len(catalogue.plates()) == len(plates)
        catalogue.rebuild()
        assert catalogue.content() == before


def test_a_folder_that_cannot_be_written_still_answers(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the file cannot be kept the catalogue lives in memory and says the same."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        before = catalogue.content()
    for end in ("", "-wal", "-shm"):
        (home / f"{NAME}{end}").unlink(missing_ok=True)
    (home / NAME).mkdir()  # refuses root too
    with Catalogue(home) as catalogue:
        catalogue.read_changes()
        assert catalogue.path is None
        assert catalogue.content() == before


PROGRAM = """
import sys
from pathlib import Path
from darkroom.log.catalogue.catalogue import Catalogue
for _ in range(4):
    with Catalogue(Path(sys.argv[1])) as catalogue:
        catalogue.rebuild() if sys.argv[2] == "anew" else catalogue.check()
        print(catalogue.count())
"""


def test_two_programs_use_it_at_once(home: Path, plates: list[Path]) -> None:
    """While two programs fill it and one writes notes nothing fails, and in the end it is right."""
    started = [
        subprocess.Popen(
            [sys.executable, "-c", PROGRAM, str(home), how],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for how in ("anew", "check")
    ]
    for number in range(20):
        append.add(home, plates[number], lambda n: note(n, "while they read"))
    for program in started:
        out, err = program.communicate(timeout=60)
        assert (program.returncode, err) == (0, "")
        assert len(out.split()) == 4
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert catalogue.count() == len(plates)
        assert catalogue.count(Query(words="while they read")) == 20
        assert catalogue.content() == fresh(home)


def test_a_journal_that_grows_while_it_is_read(home: Path, plates: list[Path]) -> None:
    """Each check shows whole lines only, and the last line once the writer is done."""
    grow = (
        "import sys, time\n"
        "file = open(sys.argv[1], 'ab', buffering=0)\n"
        "for part in sys.stdin.buffer.read().splitlines(keepends=True):\n"
        "    for at in range(0, len(part), 30):\n"
        "        file.write(part[at:at + 30])\n"
    )
    data = b"".join(frame.encode(note(n, f"growing {n}")) for n in range(800, 1000))
    with Catalogue(home) as catalogue:
        catalogue.check()
        writer = subprocess.Popen([sys.executable, "-c", grow, str(plates[0])], stdin=subprocess.PIPE)
        assert writer.stdin is not None
        writer.stdin.write(data)
        writer.stdin.close()
        until = time.monotonic() + 20
        while writer.poll() is None and time.monotonic() < until:
            catalogue.check()
        assert writer.wait(20) == 0
        catalogue.check()
        assert catalogue.count(Query(words="growing 800")) == 1
        assert catalogue.count(Query(words="growing 999")) == 1


def test_helpers_read_the_same(home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """A catalogue filled by several processes equals one filled by this one alone."""
    monkeypatch.setattr(fill, "BATCH_SIZE", 10)
    monkeypatch.setattr(fill, "LEAST_BATCHES_FOR_HELPERS", 2)
    progress_calls: list[tuple[int, int]] = []
    with Catalogue(home) as catalogue:
        assert catalogue.rebuild(lambda done, total: progress_calls.append((done, total)), helpers=2) == len(
            plates
        )
        assert catalogue.content() == fresh(home)
    assert progress_calls == [(done, 60) for done in range(10, 61, 10)]


def test_a_full_disk_costs_no_answer(home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """When its file can grow no further the catalogue goes on in memory; the journals are untouched."""
    true = Catalogue.connected

    def small(where: Path | str) -> sqlite3.Connection:
        db = true(where)
        if where != ":memory:":
            db.execute("PRAGMA max_page_count = 40")  # SQLite then says what it says on a full disk
        return db

    monkeypatch.setattr(Catalogue, "connected", staticmethod(small))
    with Catalogue(home) as catalogue:
        catalogue.read_changes()
        assert catalogue.path is None
        assert catalogue.count() == len(plates)


def test_a_program_that_does_not_let_go_costs_no_answer(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """While another program holds the file the catalogue answers from memory; afterwards from the file."""
    monkeypatch.setattr(database, "PATIENCE", 0.05)
    with Catalogue(home) as catalogue:
        catalogue.check()
        holder = sqlite3.connect(home / NAME, isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        by_hand(plates[0], note(970, "held up"))
        catalogue.check()
        assert catalogue.path is None
        assert catalogue.count(Query(words="held up")) == 1
        holder.execute("ROLLBACK")
        holder.close()
    with Catalogue(home) as catalogue:
        assert catalogue.path == home / NAME
        assert catalogue.check() == 1
        assert catalogue.count(Query(words="held up")) == 1
