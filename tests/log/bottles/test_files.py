"""The files of the bottles: appended, merged, damaged, further files; whatever is there, the others show."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from darkroom.errors import NotSavedError, WrongUse
from darkroom.log.bottles import files
from darkroom.log.bottles.folders import bench_of
from darkroom.log.journal import frame
from darkroom.solutions import events as ev
from tests.kit.bottles import time_text

BENCH, OTHER = "a" * 16, "b" * 16


def made(home: Path, bottle: str = "b1", bench: str = BENCH, **members: Any) -> None:
    """Write the line that says what was made."""
    usual: dict[str, Any] = {
        "bottle": bottle, "name": bottle.upper(), "what": "bath", "schema": 1, "version": "0", "bench": bench,
    }  # fmt: skip
    line(home, ev.Made, bottle=bottle, bench=bench, at=1.0, members={**usual, **members})


def line(
    home: Path, kind: Any, *, bottle: str = "b1", bench: str = BENCH, at: float = 2.0, members: Any = None
) -> int:
    """Append a line; return its number."""

    def build(n: int) -> list[ev.BottleEvent]:
        return [kind(n=n, at=time_text(at), up=None, **(members or {}))]

    return files.append(home, bottle, bench, build)[0].n


def test_lines_are_numbered_by_bench_and_read_back(tmp_path: Path) -> None:
    """Each bench counts its own lines; the bottle is the fold of all."""
    made(tmp_path)
    assert [line(tmp_path, ev.Opened), line(tmp_path, ev.Note, members={"text": "x"})] == [2, 3]
    assert line(tmp_path, ev.Treated, bench=OTHER, members={"how": "filtered"}) == 1
    shelf = files.read_shelf(tmp_path)
    assert [entry.place for entry in shelf.bottles["b1"].entries] == [
        f"{BENCH}:1",
        f"{BENCH}:2",
        f"{BENCH}:3",
        f"{OTHER}:1",
    ]
    assert shelf.problems == ()


def test_an_empty_home_is_an_empty_shelf(tmp_path: Path) -> None:
    """Without a folder of bottles there is none, and no problem."""
    assert files.read_shelf(tmp_path) == files.Shelf()


def test_folders_copied_into_each_other_double_nothing(tmp_path: Path) -> None:
    """The book of another bench copied in, twice, beside itself or a level too deep, adds no line twice."""
    one, other = tmp_path / "one", tmp_path / "other"
    made(one)
    shutil.copytree(one / "bottles", other / "bottles")
    line(one, ev.Opened)
    line(other, ev.Treated, bench=OTHER, members={"how": "sunned"})
    alone = [entry.event for entry in files.read_shelf(one).bottles["b1"].entries]
    shutil.copy(files.path_of(other, "b1", OTHER), files.path_of(one, "b1", OTHER))
    merged = files.read_shelf(one)
    assert len(merged.bottles["b1"].entries) == len(alone) + 1
    for _ in range(2):
        shutil.copytree(other / "bottles", one / "bottles" / "bottles", dirs_exist_ok=True)
        shutil.copytree(one / "bottles" / "b1", one / "bottles" / "b1 (copy)", dirs_exist_ok=True)
    own = one / "bottles" / "b1" / f"{BENCH}.jsonl"
    shutil.copy(own, own.with_name(f"{BENCH} (copy).jsonl"))
    assert files.read_shelf(one) == merged


def test_a_place_is_used_once_whatever_copies_lie_about(tmp_path: Path) -> None:
    """A further line counts on from the greatest number of this bench in any copy of the bottle's folder."""
    made(tmp_path)
    line(tmp_path, ev.Opened)
    (tmp_path / "bottles" / "bottles").mkdir()
    shutil.move(tmp_path / "bottles" / "b1", tmp_path / "bottles" / "bottles" / "b1")
    assert line(tmp_path, ev.Note, members={"text": "x"}) == 3


def blocked_by_a_folder(path: Path) -> None:
    """Put a folder where the file would be."""
    path.unlink()
    path.mkdir()


def blocked_by_a_pipe(path: Path) -> None:
    """Put a pipe where the file would be."""
    path.unlink()
    os.mkfifo(path)


@pytest.mark.parametrize("block", [blocked_by_a_folder, blocked_by_a_pipe])
def test_a_further_file_goes_on_where_the_own_one_takes_no_lines(
    tmp_path: Path, block: Callable[[Path], None]
) -> None:
    """What cannot be opened is passed over; the further file is read with the others."""
    made(tmp_path)
    line(tmp_path, ev.Opened)
    path = files.path_of(tmp_path, "b1", BENCH)
    kept = path.read_bytes()
    made(tmp_path, bench=OTHER)
    block(path)
    first = line(tmp_path, ev.Note, members={"text": "while it was gone"})
    assert path.with_name(f"{BENCH}.2.jsonl").exists()
    assert line(tmp_path, ev.Note, members={"text": "and more"}) == first + 1
    problems = files.read_shelf(tmp_path).problems
    assert len(problems) == 1 and "not a plain file" in str(problems[0])
    path.rmdir() if path.is_dir() else path.unlink()
    path.write_bytes(kept)
    after = line(tmp_path, ev.Note, members={"text": "back in the own file"})
    places = [entry.place for entry in files.read_shelf(tmp_path).bottles["b1"].entries]
    assert after > first and len(places) == len(set(places))
    assert path.read_bytes().count(b"\n") == 3


def test_what_cannot_be_read_may_hold_as_many_lines_as_a_file_can(tmp_path: Path) -> None:
    """Behind a file that cannot be read the count goes on where no line of it can be."""
    made(tmp_path)
    path = files.path_of(tmp_path, "b1", BENCH)
    blocked_by_a_pipe(path)
    assert line(tmp_path, ev.Opened) == files.MOST_LINES + 1
    shortest = len(frame.encode(ev.Opened(n=1, at=time_text(1.0), up=None)))
    assert files.LARGEST / shortest < files.MOST_LINES


def test_a_full_file_goes_on_in_a_further_one(tmp_path: Path) -> None:
    """A file that would be longer than is read of it takes no more lines."""
    made(tmp_path)
    path = files.path_of(tmp_path, "b1", BENCH)
    filler = frame.encode(ev.Note(n=2, at=time_text(1.5), up=None, text="x" * 100_000))
    with path.open("ab") as file:
        file.write(filler * (files.LARGEST // len(filler)))
    assert path.stat().st_size <= files.LARGEST
    line(tmp_path, ev.Note, members={"text": "y" * 100_000})
    assert path.with_name(f"{BENCH}.2.jsonl").exists()
    assert files.read_shelf(tmp_path).problems == ()


def test_damage_is_named_and_the_rest_is_shown(tmp_path: Path) -> None:
    """A torn line, a wrong sum, no time, words that are no lines: each is a problem, other lines count."""
    made(tmp_path)
    made(tmp_path, "b2")
    path = files.path_of(tmp_path, "b1", BENCH)
    whole = frame.encode(ev.Note(n=9, at=time_text(9.0), up=None, text="whole"))
    timeless = frame.encode(ev.Note(n=8, at="yesterday", up=None, text="when?"))
    with path.open("ab") as file:
        file.write(whole.replace(b"whole", b"other") + b"\xff\xfe words\n" + timeless + whole + whole[:30])
    shelf = files.read_shelf(tmp_path)
    assert list(shelf.bottles) == ["b1", "b2"]
    assert [type(entry.event).__name__ for entry in shelf.bottles["b1"].entries] == ["Made", "Note"]
    assert len(shelf.problems) == 4
    assert line(tmp_path, ev.Opened) == 10
    assert files.read_shelf(tmp_path).bottles["b1"].opened == 2.0


def test_odd_things_in_the_book_are_named_and_the_bottles_shown(tmp_path: Path) -> None:
    """A file, a link, a pipe or a folder without a first line is a problem; hidden names are passed over."""
    made(tmp_path)
    book = tmp_path / "bottles"
    (book / "a file").write_text("x")
    (book / "a link").symlink_to(book / "b1")
    os.mkfifo(book / "a pipe")
    (book / ".hidden").mkdir()
    line(tmp_path, ev.Opened, bottle="nobody-made-me")
    shelf = files.read_shelf(tmp_path)
    assert list(shelf.bottles) == ["b1"]
    said = "\n".join(str(problem) for problem in shelf.problems)
    assert len(shelf.problems) == 4
    assert "a link is not followed" in said and "the file with its first line is missing" in said


def test_a_book_that_is_no_folder_is_a_problem(tmp_path: Path) -> None:
    """Where a file has the name of the book there are no bottles, and it is said."""
    (tmp_path / "bottles").write_text("x")
    shelf = files.read_shelf(tmp_path)
    assert shelf.bottles == {} and len(shelf.problems) == 1
    with pytest.raises(NotSavedError):
        made(tmp_path)


def test_a_bottle_of_a_newer_darkroom_is_read_and_nothing_is_added(tmp_path: Path) -> None:
    """A greater schema marks the bottle; its lines are shown, an append is refused and nothing changes."""
    made(tmp_path, schema=ev.SCHEMA + 1)
    bottle = files.read_shelf(tmp_path).bottles["b1"]
    assert bottle.newer and "newer darkroom" in bottle.problems[0]
    before = files.path_of(tmp_path, "b1", BENCH).read_bytes()
    for bench in (BENCH, OTHER):
        with pytest.raises(NotSavedError, match="newer darkroom"):
            line(tmp_path, ev.Opened, bench=bench)
    assert files.path_of(tmp_path, "b1", BENCH).read_bytes() == before
    assert not files.path_of(tmp_path, "b1", OTHER).exists()


@pytest.mark.parametrize(
    ("name", "bench"),
    [
        (f"{BENCH}.jsonl", BENCH),
        (f"{BENCH}.2.jsonl", BENCH),
        (f"{BENCH} (copy).jsonl", BENCH),
        (f"Copy of {BENCH}.jsonl", BENCH),
        (f"{BENCH}-1.jsonl", BENCH),
        (f"{BENCH}.sync-conflict-20260514.jsonl", BENCH),
        ("bench-a.jsonl", "bench-a"),
        ("bench-a.3.jsonl", "bench-a"),
        (f"x{BENCH}.jsonl", f"x{BENCH}"),
        ("é.jsonl", "é"),
    ],
)
def test_whose_lines_a_file_holds(name: str, bench: str) -> None:
    """The bench is told by the start of the name, and in a copy's name wherever its id stands."""
    assert bench_of(name) == bench


@pytest.mark.parametrize("name", ["", "..", "a/b", ".hidden", "ö", "a b"])
def test_an_id_that_is_no_name_of_a_folder_is_refused(tmp_path: Path, name: str) -> None:
    """Nothing is written for an id that could lead elsewhere."""
    with pytest.raises(WrongUse):
        files.path_of(tmp_path, name, BENCH)
