"""A book of bottles taken into another: nothing is lost, nothing comes twice, what went apart is kept."""

from __future__ import annotations

import random
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.errors import NothingFound, NotReadable
from darkroom.log.bottles import files
from darkroom.log.bottles.merging import merge
from darkroom.log.journal import frame
from darkroom.log.store import locks
from darkroom.log.store.paths import state_dir
from darkroom.solutions import events as ev
from tests.kit.bottles import time_text

A, B = "a" * 16, "b" * 16


def note(home: Path, text: str, bench: str = A, bottle: str = "b1") -> int:
    """Write a note, and first the line that says what was made; return its number."""

    def build(n: int) -> list[ev.BottleEvent]:
        first = ev.Made(
            n=n, at=time_text(1.0), up=None, bottle=bottle, name="B-1", what="bath", schema=1, version="0",
            bench=bench,
        )  # fmt: skip
        new = n == 1 and bench == A
        line = ev.Note(n=n + new, at=time_text(float(n + 1)), up=None, text=text)
        return [first, line] if new else [line]

    return files.append(home, bottle, bench, build)[-1].n


def texts(home: Path) -> list[str]:
    """Return the notes of the one bottle."""
    (bottle,) = files.read_shelf(home).bottles.values()
    return [entry.event.text for entry in bottle.entries if isinstance(entry.event, ev.Note)]


def tree(home: Path) -> dict[str, bytes]:
    """Return every file of the book."""
    return {str(path.relative_to(home)): path.read_bytes() for path in (home / "bottles").rglob("*.jsonl")}


def homes(tmp_path: Path) -> tuple[Path, Path]:
    """Return two logs with the same bottle, of which the second one's copy of A's file is old."""
    ours, theirs = tmp_path / "ours", tmp_path / "theirs"
    note(ours, "one")
    shutil.copytree(ours, theirs)
    note(ours, "two")
    note(theirs, "at B", B)
    return ours, theirs


def test_an_old_copy_takes_no_lines_away(tmp_path: Path) -> None:
    """A's newer lines stay, B's lines come; the other way A's come; twice changes nothing."""
    ours, theirs = homes(tmp_path)
    before = tree(theirs)
    merged = merge(ours, theirs)
    assert [came.lines for came in merged.came] == [1] and not merged.problems
    assert sorted(texts(ours)) == ["at B", "one", "two"] and tree(theirs) == before
    assert [came.lines for came in merge(theirs, ours / "bottles").came] == [1]
    assert tree(theirs) == tree(ours)
    for one, other in ((ours, theirs), (theirs, ours), (ours, ours)):
        assert merge(one, other).came == () and tree(ours) == tree(theirs)


def test_lines_put_over_are_missed_and_come_back(tmp_path: Path) -> None:
    """The check names the lines that went, their numbers are not given again, and a merge heals it."""
    ours, theirs = homes(tmp_path)
    newer = tmp_path / "newer"
    shutil.copytree(ours, newer)
    path = files.path_of(ours, "b1", A)
    shutil.copy(files.path_of(theirs, "b1", A), path)
    _, problems = files.check(ours)
    assert [problem.file for problem in problems] == [str(path)] and "line 3 is gone" in str(problems[0])
    assert note(ours, "four") == 4
    assert "line 3 is gone" in str(files.check(ours)[1][0])
    merged = merge(ours, newer)
    assert merged.came[0].lines == 1 and "went apart" in str(merged.problems[0])
    assert str(path.with_name(f"{A}.2.jsonl")) in str(merged.problems[0])
    assert files.check(ours)[1] == [] and texts(ours) == ["one", "two", "four"]
    assert merge(ours, newer) == type(merged)(files=1)
    assert note(ours, "five") == 5


def test_a_copy_elsewhere_and_a_bottle_taken_away_miss_nothing(tmp_path: Path) -> None:
    """What was written is known of this log alone; a damaged note of it is no problem."""
    ours, theirs = homes(tmp_path)
    assert files.check(theirs)[1] == [] and files.check(ours)[1] == []
    shutil.rmtree(ours / "bottles" / "b1")
    assert files.check(ours) == (0, [])
    for place in state_dir().glob("bottles/*.json"):
        place.write_bytes(b'{"b1')
    assert note(theirs, "goes on", B) == 2 and files.check(theirs)[1] == []


def test_what_is_lost_for_good_is_let_go(tmp_path: Path) -> None:
    """Without the numbers that this machine kept nothing is missed, and a line written then asks for none."""
    ours, theirs = homes(tmp_path)
    note(ours, "three")
    shutil.copy(files.path_of(theirs, "b1", A), files.path_of(ours, "b1", A))
    assert "lines 3 to 4 are gone" in str(files.check(ours)[1][0])
    assert note(ours, "five") == 5
    for place in state_dir().glob("bottles/*.json"):
        place.unlink()
    assert note(ours, "six") == 6
    assert files.check(ours)[1] == []


def test_a_damaged_line_is_not_gone(tmp_path: Path) -> None:
    """It is named once, as what cannot be read."""
    ours = tmp_path / "ours"
    for text in ("one", "two", "three"):
        note(ours, text)
    path = files.path_of(ours, "b1", A)
    path.write_bytes(path.read_bytes().replace(b'"three"', b'"thref"'))
    assert ["sum" in str(problem) for problem in files.check(ours)[1]] == [True]


def test_both_of_two_different_lines_stay(tmp_path: Path) -> None:
    """Two machines with one bench's name wrote the same number: both are in the book, and it is said."""
    ours, theirs = homes(tmp_path)
    files.path_of(theirs, "b1", A).write_bytes(files.path_of(ours, "b1", A).read_bytes())
    note(ours, "ours")
    note(theirs, "theirs")
    merged = merge(ours, theirs)
    assert len(merged.problems) == 1 and {"ours", "theirs"} <= set(texts(ours))
    note(theirs, "later")
    assert [(came.path.name, came.lines) for came in merge(ours, theirs).came] == [(f"{A}.2.jsonl", 1)]
    assert "later" in texts(ours)


def test_a_torn_end_is_left_out_and_healed(tmp_path: Path) -> None:
    """Half a line of theirs does not come; half a line of ours becomes whole."""
    ours, theirs = homes(tmp_path)
    whole = files.path_of(ours, "b1", A).read_bytes()
    files.path_of(theirs, "b1", A).write_bytes(whole[:-9])
    assert [came.path.name for came in merge(ours, theirs).came] == [f"{B}.jsonl"]
    merge(theirs, ours)
    assert files.path_of(theirs, "b1", A).read_bytes() == whole
    files.path_of(theirs, "b1", A).write_bytes(whole[:-1])
    shutil.rmtree(ours / "bottles")
    assert sum(came.lines for came in merge(ours, theirs).came) == 4
    assert files.path_of(ours, "b1", A).read_bytes() == whole


def test_never_while_another_writer_holds_the_file(tmp_path: Path) -> None:
    """It is a problem that names the file, and the others are taken."""
    ours, theirs = homes(tmp_path)
    note(theirs, "other bottle", bottle="b2")
    path = files.path_of(theirs, "b1", A)
    with path.open("ab") as held:
        assert locks.lock(held.fileno())
        merged = merge(theirs, ours)
    assert not merged.came and "another darkroom writes" in str(merged.problems[0])
    assert [came.lines for came in merge(theirs, ours).came] == [1]


def test_what_is_no_book_is_refused(tmp_path: Path) -> None:
    """A path that is no folder, and a folder without bottles."""
    with pytest.raises(NotReadable, match="no folder"):
        merge(tmp_path / "ours", tmp_path / "nowhere")
    with pytest.raises(NothingFound, match="no bottle"):
        merge(tmp_path / "ours", tmp_path)


@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 2), st.booleans()), max_size=14), st.randoms())
def test_merged_in_any_order_every_line_is_there(
    steps: list[tuple[int, int, bool]], chance: random.Random
) -> None:
    """Three logs that write and merge at random: after all merged both ways each has every line once."""
    benches = (A, B, "c" * 16)
    with tempfile.TemporaryDirectory() as folder:
        logs = [Path(folder) / str(number) for number in range(3)]
        note(logs[0], "first")
        for log in logs[1:]:
            merge(log, logs[0])
        written_lines = ["first"]
        for count, (one, other, writes) in enumerate(steps):
            if writes:
                written_lines.append(str(count))
                note(logs[one], str(count), benches[one])
            else:
                assert merge(logs[one], logs[other]).problems == ()
        rounds = [(one, other) for one in range(3) for other in range(3)] * 2
        chance.shuffle(rounds)
        for one, other in [*rounds, (0, 1), (0, 2), (1, 0), (2, 0)]:
            assert merge(logs[one], logs[other]).problems == ()
        for log in logs:
            assert sorted(texts(log)) == sorted(written_lines)
            assert tree(log) == tree(logs[0])
            for data in tree(log).values():
                assert all(frame.is_sound(line) for line in data.splitlines())
