"""Finding plates: by day, id, start and number; which come back to the bench; how long it was away."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.errors import AmbiguousPlate, NothingFound
from darkroom.log.journal import frame, merge
from darkroom.log.journal.find import Survey, find, find_plates, next_number, survey
from darkroom.log.journal.merge import read_plate
from darkroom.log.journal.resume import gap, returning
from darkroom.log.store import bench_files, paths
from tests.kit.journals import BENCH, DAY, OTHER, PLATE, at, plate_events, started

TODAY = date(2026, 3, 10)


def put_in_log(home: Path, events: Sequence[ev.AnyEvent], day: str = DAY, plate: str | None = None) -> Path:
    """Put a plate's journal into the log."""
    first = events[0]
    assert isinstance(first, ev.PlateStarted)
    path = paths.plate_path(home, plate or first.plate, day, first.rehearsal)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"".join(map(frame.encode, events)))
    return path


def open_plate(plate: str, number: int = 1, **more: object) -> list[ev.AnyEvent]:
    """Return the lines of a plate that is on the bench."""
    return plate_events(plate, number=number, **more)[:20]


# --- the list ---------------------------------------------------------------------------------


def test_plates_are_found_oldest_first(home: Path) -> None:
    """All plates of all days, one path for each, whatever other files lie beside them."""
    newest = put_in_log(home, plate_events(PLATE), DAY)
    middle = put_in_log(home, plate_events("20260215-100000-aaaaaa"), "2026-02-15")
    oldest = put_in_log(home, plate_events("20251231-233000-bbbbbb"), "2026-01-01")
    newest.with_name(f"{PLATE}.torn").write_bytes(b"x")
    newest.with_name(f"{PLATE}.2.jsonl").write_bytes(b"")
    newest.with_name("notes.txt").write_bytes(b"x")
    (home / "plates" / "2026" / "not a day").mkdir()
    (home / "plates" / "elsewhere").mkdir()
    assert find_plates(home) == [oldest, middle, newest]


def test_the_last_days_alone(home: Path) -> None:
    """With `days` only those days' folders are looked at, and folders of a date to come."""
    put_in_log(home, plate_events("20260207-100000-aaaaaa"), "2026-02-07")
    two = put_in_log(home, plate_events("20260208-100000-bbbbbb"), "2026-02-08")
    three = put_in_log(home, plate_events("20270101-100000-cccccc"), "2027-01-01")
    assert find_plates(home, 30, today=TODAY) == [two, three]


def test_rehearsals_are_found_apart(home: Path) -> None:
    """Rehearsals are listed apart from plates."""
    plate = put_in_log(home, plate_events(PLATE))
    rehearsal = put_in_log(home, plate_events(OTHER, rehearsal=True))
    assert find_plates(home) == [plate]
    assert find_plates(home, rehearsals=True) == [rehearsal]


def test_an_empty_or_missing_log_has_no_plates(home: Path) -> None:
    """An empty or missing log gives no plates and no error, and nothing is created."""
    assert survey(home) == Survey([], [])
    assert next_number(home) == 1
    assert not home.exists()


def test_loops_of_links_are_survived(home: Path) -> None:
    """A link to a folder above it, or to itself, does not make the search loop."""
    plate = put_in_log(home, plate_events(PLATE))
    (home / "plates" / "2026" / "2026-03-02").symlink_to(home / "plates")
    (home / "plates" / "2026" / "2026-03-03").symlink_to("2026-03-03")
    (home / "plates" / "2027").symlink_to(home / "plates")
    surveyed = survey(home)
    assert surveyed.paths == [plate]
    assert [Path(problem.file).name for problem in surveyed.problems] == ["2026-03-03"]


# --- one plate -------------------------------------------------------------------------------


def test_a_plate_is_named_by_id_start_or_number(home: Path) -> None:
    """The whole id, any start of it that fits one plate, and the number."""
    first = put_in_log(home, plate_events(PLATE, number=41))
    second = put_in_log(home, plate_events(OTHER, number=42))
    assert find(home, PLATE) == first
    assert find(home, "20260301-1215") == second
    assert find(home, "42") == second
    assert find(home, " 41 ") == first


def test_a_whole_id_is_found_in_the_folder_of_its_local_date(home: Path) -> None:
    """A plate begun near midnight is found a day off: the id is UTC, the folder's date local."""
    for day in ("2026-02-28", "2026-03-02"):
        path = put_in_log(home, plate_events(PLATE), day)
        assert find(home, PLATE) == path
        path.unlink()


def test_several_answers_are_listed(home: Path) -> None:
    """Two plates of one number, or of one start, are an error that lists both."""
    put_in_log(home, plate_events(PLATE, number=7))
    put_in_log(home, plate_events(OTHER, number=7))
    for word in ("7", "2026", "20260301-1"):
        with pytest.raises(AmbiguousPlate) as caught:
            find(home, word)
        assert PLATE in str(caught.value)
        assert OTHER in str(caught.value)
        assert "number 7, Trial" in str(caught.value)


def test_a_number_goes_before_the_start_of_an_id(home: Path) -> None:
    """ "20" is plate 20, although every id of this century begins with 20."""
    put_in_log(home, plate_events(PLATE, number=3))
    two = put_in_log(home, plate_events(OTHER, number=20))
    assert find(home, "20") == two


@pytest.mark.parametrize("word", ["", "99", "xyz", "../../etc/passwd", "20260301-120000-zzzzzz", "\0"])
def test_what_is_not_there_is_said(home: Path, word: str) -> None:
    """A word that names no plate raises NothingFound, whatever characters it holds."""
    put_in_log(home, plate_events(PLATE))
    with pytest.raises(NothingFound, match="no plate"):
        find(home, word)


def test_the_next_number_is_one_above_the_highest(home: Path) -> None:
    """Numbers go on from the highest used here; a journal with a damaged first line does not count."""
    put_in_log(home, plate_events(PLATE, number=12))
    path = put_in_log(home, plate_events(OTHER, number=800))
    assert next_number(home) == 801
    path.write_bytes(path.read_bytes().replace(b'"number":800', b'"number":900'))
    assert next_number(home) == 13
    put_in_log(home, plate_events("20260301-130000-cccccc", number=50, rehearsal=True))
    assert next_number(home) == 13


# --- coming back ------------------------------------------------------------------------------


def names(logs: Sequence[merge.PlateLog]) -> list[str]:
    """Return the ids of plates."""
    return [log.plate for log in logs]


def test_plates_without_an_end_come_back(home: Path) -> None:
    """Not ended, of this bench, no rehearsal: on the bench and on the rack alike, oldest first."""
    put_in_log(home, open_plate(OTHER))
    put_in_log(home, open_plate(PLATE))
    put_in_log(home, plate_events("20260301-110000-aaaaaa")[:28])
    put_in_log(home, plate_events("20260301-111111-bbbbbb"))
    put_in_log(home, open_plate("20260301-111112-cccccc", bench="another"))
    put_in_log(home, open_plate("20260301-111113-dddddd", rehearsal=True))
    result = returning(home, BENCH, TODAY)
    assert names(result.plates) == ["20260301-110000-aaaaaa", PLATE, OTHER]
    assert [log.racked for log in result.plates] == [True, False, False]
    assert result.left_out == []


def test_an_end_that_was_taken_back_is_no_end(home: Path) -> None:
    """A plate whose `plate_ended` was undone comes back; one whose undo was undone does not."""
    lines_ = plate_events(PLATE)[:29]
    undo = ev.Undone(n=30, at=at(400), up=400.0, undoes=(29,), held=False)
    put_in_log(home, [*lines_, undo])
    assert names(returning(home, BENCH, TODAY).plates) == [PLATE]
    put_in_log(home, [*lines_, undo, ev.Undone(n=31, at=at(401), up=401.0, undoes=(30,), held=False)])
    assert returning(home, BENCH, TODAY).plates == []


def test_the_book_brings_back_old_plates(home: Path) -> None:
    """A plate on the rack for longer than 30 days comes back by its name in `bench.json`."""
    put_in_log(home, open_plate("20250101-100000-aaaaaa"), "2025-01-01")
    assert returning(home, BENCH, TODAY).plates == []
    save(home, ["20250101-100000-aaaaaa", "20250101-100000-gone00"])
    assert names(returning(home, BENCH, TODAY).plates) == ["20250101-100000-aaaaaa"]


def test_a_plate_the_book_does_not_know_yet_comes_back(home: Path) -> None:
    """The book is never the truth: a plate begun since it was written is found in its folder."""
    save(home, [])
    wrote = datetime(2026, 3, 1, 12, 0).timestamp()
    os.utime(home / "bench.json", (wrote, wrote))
    put_in_log(home, open_plate(PLATE))
    assert names(returning(home, BENCH, TODAY).plates) == [PLATE]


@pytest.mark.parametrize(
    "damage", [b"", b"{", b"[]", b'{"plates": 5}', b"\xff", b'{"plates": ["\\u0000", 7]}']
)
def test_a_damaged_book_is_no_loss(home: Path, damage: bytes) -> None:
    """Whatever is wrong with `bench.json`, the plates of the last 30 days come back."""
    put_in_log(home, open_plate(PLATE))
    (home / "bench.json").write_bytes(damage)
    wrote = datetime(2026, 3, 1, 12, 0).timestamp()
    os.utime(home / "bench.json", (wrote, wrote))
    assert names(returning(home, BENCH, TODAY).plates) == [PLATE]


def test_a_newer_schema_is_not_resumed(home: Path) -> None:
    """A plate of a later schema is read, left out, and the reason given."""
    put_in_log(home, open_plate(PLATE, schema=2))
    result = returning(home, BENCH, TODAY)
    assert result.plates == []
    assert [(log.plate, why.split(":")[0]) for log, why in result.left_out] == [
        (PLATE, "it is from a newer darkroom")
    ]


def test_a_plate_whose_first_line_is_lost_is_named(home: Path) -> None:
    """When the book names a plate whose start cannot be read, that is said rather than passed over."""
    path = put_in_log(home, open_plate(PLATE))
    path.write_bytes(path.read_bytes()[50:])
    save(home, [PLATE])
    result = returning(home, BENCH, TODAY)
    assert (result.plates, [log.plate for log, _ in result.left_out]) == ([], [PLATE])


def save(home: Path, plates: list[str]) -> None:
    """Write a book with these plates on the bench."""
    book = bench_files.BenchBook(home)
    book.save({"plates": plates})
    assert book.close()


# --- how long it was away ----------------------------------------------------------------------

LAST = plate_events(PLATE)[24]
"""The last bench line of the sample up to line 25: 350 s on the boot clock, 13:05:50 by the wall."""
WALL = datetime.fromisoformat(at(350.0)).timestamp()


def test_the_same_boot_counts_by_the_boot_clock(home: Path) -> None:
    """Within one start of the machine the wall clock does not matter, wrong as it may be."""
    log = read_plate(put_in_log(home, plate_events(PLATE)[:25]))
    assert (log.events[-1], gap(log, "boot-a", 410.5, 0.0)) == (LAST, (60.5, "up"))


def test_another_boot_counts_by_the_wall_clock(home: Path) -> None:
    """After a restart of the machine the wall clock says how long it was."""
    log = read_plate(put_in_log(home, plate_events(PLATE)[:25]))
    assert gap(log, "boot-b", 12.0, WALL + 90) == (pytest.approx(90.0), "wall")


def test_a_wall_clock_behind_the_last_line_gives_nothing(home: Path) -> None:
    """A clock that lost its time cannot tell: the gap is 0, and at least that."""
    log = read_plate(put_in_log(home, plate_events(PLATE)[:25]))
    assert gap(log, "boot-b", 12.0, WALL - 86400) == (0.0, "wall")


def test_the_boot_of_the_last_return_counts(home: Path) -> None:
    """A plate that came back once was last on the boot that its `resumed` names."""
    again = ev.Resumed(n=26, at=at(500), up=20.0, gap=150.0, by="wall", boot="boot-b")
    log = read_plate(put_in_log(home, [*plate_events(PLATE)[:25], again]))
    assert gap(log, "boot-b", 25.0, 0.0) == (5.0, "up")
    assert gap(log, "boot-a", 25.0, datetime.fromisoformat(at(500)).timestamp() + 7) == (
        pytest.approx(7.0),
        "wall",
    )


def test_lines_of_a_review_do_not_count(home: Path) -> None:
    """A note written later from the command line is no bench line."""
    log = read_plate(put_in_log(home, plate_events(PLATE)))
    last = [event for event in log.events if event.up is not None][-1]
    assert gap(log, "boot-a", 390.0, 0.0) == (390.0 - (last.up or 0.0), "up")


def test_a_time_that_is_none_gives_nothing(home: Path) -> None:
    """A line whose wall time cannot be read does not stop the return."""
    log = read_plate(put_in_log(home, [started(at="yesterday")]))
    assert gap(log, "boot-b", 5.0, WALL) == (0.0, "wall")
