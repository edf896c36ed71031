"""The catalogue against the journals: filled, kept up, deleted, damaged, shared."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log import catalogue_disk, catalogue_fill, changed, lines, notes
from darkroom.log.catalogue import NAME, Catalogue, Query
from darkroom.log.journal import Scribe


@pytest.fixture(autouse=True)
def _long_ago(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let files of a moment ago count as settled: otherwise each look reads them once more."""
    monkeypatch.setattr(catalogue_disk, "MOMENT_NS", 0)


def fresh(home: Path) -> dict[str, list[tuple[object, ...]]]:
    """Return what a catalogue made from nothing says of the same journals."""
    kept = home / NAME
    aside = home.parent / "aside.sqlite"
    for end in ("", "-wal", "-shm"):
        if (kept.parent / f"{NAME}{end}").exists():
            os.replace(kept.parent / f"{NAME}{end}", f"{aside}{end}")
    try:
        with Catalogue(home) as catalogue:
            catalogue.check()
            return catalogue.content()
    finally:
        for end in ("", "-wal", "-shm"):
            (kept.parent / f"{NAME}{end}").unlink(missing_ok=True)
            if Path(f"{aside}{end}").exists():
                os.replace(f"{aside}{end}", kept.parent / f"{NAME}{end}")


def by_hand(path: Path, event: ev.AnyEvent) -> None:
    """Add a line to a journal as a text editor or a script would."""
    with path.open("ab") as file:
        file.write(lines.encode(event))


def note(n: int, text: str) -> ev.Note:
    """Return a note written at review."""
    return ev.Note(n=n, at="2026-11-01T09:00:00.000+01:00", up=None, text=text)


def test_the_first_look_takes_in_every_plate(home: Path, plates: list[Path]) -> None:
    """Each journal is one row with the facts of its own lines, read here with the standard library alone."""
    with Catalogue(home) as catalogue:
        assert catalogue.look() == len(plates)
        rows = {row["path"]: row for row in catalogue.plates()}
    assert sorted(rows) == sorted(map(str, plates))
    for path in plates:
        said = [json.loads(line) for line in path.read_text().splitlines()]
        ratings = [line for line in said if line["event"] == "rating"]
        ended = [line for line in said if line["event"] == "plate_ended"]
        row = rows[str(path)]
        assert (row["plate"], row["number"]) == (path.stem, said[0]["number"])
        assert row["stars"] == (ratings[-1]["stars"] if ratings else None)
        assert (row["ended"], row["how"]) == (ended[-1]["at"], ended[-1]["how"])


def test_stages_are_what_the_journal_measured(home: Path, plates: list[Path]) -> None:
    """The seconds of each stage in the catalogue are those of its `stage_ended` line."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        rows = catalogue.stages()
    for path in plates[:10]:
        said = [json.loads(line) for line in path.read_text().splitlines()]
        ended = [(line["stage"], line["seconds"]) for line in said if line["event"] == "stage_ended"]
        kept = [(row["stage"], row["seconds"]) for row in rows if row["path"] == str(path)]
        assert [name for name, _ in kept] == [name for name, _ in ended]
        assert [seconds for _, seconds in kept] == pytest.approx([s for _, s in ended], abs=0.002)


def test_nothing_is_read_again_without_a_reason(home: Path, plates: list[Path]) -> None:
    """A second look and a second check find nothing to do."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert (catalogue.look(), catalogue.check()) == (0, 0)


def test_kept_up_is_the_same_as_made_anew(home: Path, plates: list[Path]) -> None:
    """After new, changed, deleted, damaged and moved journals the kept catalogue equals a fresh one."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        by_hand(plates[0], note(900, "by hand"))
        plates[1].unlink()
        plates[2].write_bytes(plates[2].read_bytes()[:-40])
        plates[3].write_bytes(b"")
        shutil.rmtree(plates[-1].parent)
        other = home / "plates" / "2027" / "2027-01-01"
        other.mkdir(parents=True)
        shutil.copy(plates[4], other / plates[4].name)
        further = plates[5].with_name(f"{plates[5].stem}.2.jsonl")
        begun = ev.Continued(n=0, at="x", up=None, plate=plates[5].stem, saved=1, why="trial")
        further.write_bytes(lines.encode(begun) + lines.encode(note(901, "further")))
        catalogue.check()
        assert catalogue.content() == fresh(home)
        assert catalogue.content()["plates"]


def test_deleting_it_loses_nothing(home: Path, plates: list[Path]) -> None:
    """A catalogue that is gone comes back the same from the journals."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        before = catalogue.content()
    for end in ("", "-wal", "-shm"):
        (home / f"{NAME}{end}").unlink(missing_ok=True)
    with Catalogue(home) as catalogue:
        catalogue.look()
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
        catalogue.look()
        assert len(catalogue.plates()) == len(plates)
        catalogue.rebuild()
        assert catalogue.content() == before


def test_a_note_is_seen_by_the_next_look(home: Path, plates: list[Path]) -> None:
    """What the tool's own writers add is told of in `changed`, and the look reads just that."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        notes.add(home, plates[7], lambda n: note(n, "seen at once"))
        assert catalogue.look() == 1
        assert [row["path"] for row in catalogue.plates(Query(words="SEEN at"))] == [str(plates[7])]


def test_a_plate_of_the_bench_is_seen_by_the_next_look(home: Path, plates: list[Path]) -> None:
    """A journal grown by the writer of the bench shows in a look, line by line."""
    writer = Scribe(home, lambda report: None)
    first = json.loads(plates[0].read_text().splitlines()[0])
    start = ev.PlateStarted(
        n=1, at="2026-09-01T10:00:00.000+02:00", up=1.0, plate="20260901-080000-aaaaaa", number=99, schema=1,
        version="0", bench="b", boot="c", process=first["process"],
    )  # fmt: skip
    with Catalogue(home) as catalogue:
        catalogue.check()
        writer.write(start.plate, "2026-09-01", [start])
        assert writer.close(5.0)
        assert catalogue.look() == 1
        (row,) = catalogue.plates(Query(state="bench"))
        assert (row["number"], row["ended"], row["place"]) == (99, None, "bench")
        ended = ev.PlateEnded(
            n=2, at="2026-09-01T10:01:00.000+02:00", up=61.0, how="abandoned", reason="dust"
        )
        writer.write(start.plate, "2026-09-01", [ended])
        assert writer.close(5.0)
        assert catalogue.look() == 1
        assert catalogue.plates(limit=1)[0]["number"] != 0
        (row,) = catalogue.plates(Query(words="dust 99"))
        assert (row["how"], row["reason"], row["place"]) == ("abandoned", "dust", None)


def test_a_journal_copied_in_shows_at_the_next_look(home: Path, plates: list[Path], tmp_path: Path) -> None:
    """A plate of another bench, copied into a day's folder that is there or new, shows without a check."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        data = plates[0].read_bytes()
        for day in (plates[0].parent, home / "plates" / "2025" / "2025-06-01"):
            day.mkdir(parents=True, exist_ok=True)
            (day / "20250601-080000-zzzzzz.jsonl").write_bytes(data)
            assert catalogue.look() == 1


def test_a_line_added_by_hand_shows_at_the_next_check(home: Path, plates: list[Path]) -> None:
    """The size gives it away; and a change of the same size is given away by its time."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        by_hand(plates[3], note(950, "written in an editor"))
        assert catalogue.check() == 1
        assert catalogue.count(Query(words="editor")) == 1
        data = plates[3].read_bytes()
        plates[3].write_bytes(data.replace(b"editor", b"EDITOR"))
        assert catalogue.check() == 1
        assert catalogue.count(Query(words="editor")) == 0  # the sum refutes the line


def test_a_file_of_this_moment_is_read_once_more(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A change within the file system's tick may look like none: such a file is not trusted yet."""
    monkeypatch.setattr(catalogue_disk, "MOMENT_NS", 3_600_000_000_000)
    with Catalogue(home) as catalogue:
        assert [catalogue.check(), catalogue.check()] == [len(plates), len(plates)]
        monkeypatch.setattr(catalogue_disk, "MOMENT_NS", 0)
        assert [catalogue.check(), catalogue.check()] == [len(plates), 0]


def test_changed_begun_anew_loses_nothing(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """When `changed` grew too long and was begun again, or is gone, the look becomes a check."""
    monkeypatch.setattr(changed, "LARGEST", 200)
    with Catalogue(home) as catalogue:
        catalogue.look()
        for number in range(12):
            notes.add(home, plates[number], lambda n: note(n, "kept"))
        assert (home / changed.NAME).stat().st_size <= 200 + 100
        catalogue.look()
        assert catalogue.count(Query(words="kept")) >= 12
        (home / changed.NAME).unlink()
        by_hand(plates[20], note(960, "found without it"))
        catalogue.look()
        assert catalogue.count(Query(words="found without")) == 1


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
        catalogue.look()
        assert catalogue.path is None
        assert catalogue.content() == before


def test_a_log_that_is_not_there_is_empty_and_stays_so(tmp_path: Path) -> None:
    """Asking makes no folder."""
    with Catalogue(tmp_path / "none") as catalogue:
        assert (catalogue.look(), catalogue.plates()) == (0, [])
    assert not (tmp_path / "none").exists()


PROGRAM = """
import sys
from pathlib import Path
from darkroom.log.catalogue import Catalogue
for _ in range(4):
    with Catalogue(Path(sys.argv[1])) as catalogue:
        catalogue.rebuild() if sys.argv[2] == "anew" else catalogue.check()
        print(catalogue.count())
"""


def test_two_programs_use_it_at_once(home: Path, plates: list[Path]) -> None:
    """While two programs fill it and one writes notes nothing fails, and in the end it is right."""
    started = [
        subprocess.Popen([sys.executable, "-c", PROGRAM, str(home), how], stdout=subprocess.PIPE,
                         stderr=subprocess.PIPE, text=True)
        for how in ("anew", "check")
    ]  # fmt: skip
    for number in range(20):
        notes.add(home, plates[number], lambda n: note(n, "while they read"))
    for one in started:
        out, err = one.communicate(timeout=60)
        assert (one.returncode, err) == (0, "")
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
    data = b"".join(lines.encode(note(n, f"growing {n}")) for n in range(800, 1000))
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
    monkeypatch.setattr(catalogue_fill, "TURN", 10)
    monkeypatch.setattr(catalogue_fill, "WORTH_HELPERS", 2)
    said: list[tuple[int, int]] = []
    with Catalogue(home) as catalogue:
        assert catalogue.rebuild(lambda done, of: said.append((done, of)), helpers=2) == len(plates)
        assert catalogue.content() == fresh(home)
    assert said == [(done, 60) for done in range(10, 61, 10)]
