"""Plates in several files are merged; files that are no journals are named with the reason."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from darkroom.bench import events as ev
from darkroom.event_base import Newer
from darkroom.log.journal import frame, read
from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import read_plate
from darkroom.log.store import paths as store_paths
from tests.kit.journals import DAY, OTHER, PLATE, at, marks, plate_events, started
from tests.kit.nightly import examples
from tests.kit.plate_files import continued, put, whats

EVENTS = plate_events()
LINES = [frame.encode(event) for event in EVENTS]
# --- several files --------------------------------------------------------------------------


def test_further_files_are_merged_by_number(home: Path) -> None:
    """The first file, one beside it and one in a spill place make one plate."""
    first = put(home, b"".join(LINES[:10]))
    put(home, continued(saved=10) + b"".join(LINES[10:20]), k=2)
    put(home, continued(saved=20) + b"".join(LINES[20:]), k=3, folder=store_paths.spill_places()[1])
    log = read_plate(first)
    assert (list(log.events), log.problems) == (EVENTS, ())
    assert [path.name for path in log.files] == [f"{PLATE}.jsonl", f"{PLATE}.2.jsonl", f"{PLATE}.3.jsonl"]
    assert log.files[2].parent == store_paths.spill_places()[1]


def test_the_same_number_with_the_same_bytes_is_one_event(home: Path) -> None:
    """Lines that a failed fsync left in doubt stand in both files, and count once."""
    first = put(home, b"".join(LINES[:12]))
    put(home, continued(saved=10) + b"".join(LINES[10:]), k=2)
    log = read_plate(first)
    assert (list(log.events), log.problems) == (EVENTS, ())


def test_the_same_number_with_other_bytes_is_a_problem(home: Path) -> None:
    """Where two files differ the lower one wins, and both places are named."""
    first = put(home, b"".join(LINES[:12]))
    other_line = frame.encode(ev.Mark(n=12, at=at(5), up=5.0))
    put(home, continued(saved=11) + other_line + b"".join(LINES[12:]), k=2)
    log = read_plate(first)
    assert list(log.events) == EVENTS
    assert whats(log) == [(2, f"another line 12 stands in {first}:12; that one counts")]
    assert log.problems[0].file.endswith(f"{PLATE}.2.jsonl")


def test_a_torn_end_is_no_problem_when_a_further_file_repeats_it(home: Path) -> None:
    """After a disk error the first file may end anywhere; what was not saved is in the next."""
    first = put(home, b"".join(LINES[:10]) + LINES[10][:7])
    put(home, continued(saved=10) + b"".join(LINES[10:]), k=2)
    log = read_plate(first)
    assert (list(log.events), log.problems, log.torn) == (EVENTS, (), b"")


def test_what_neither_file_holds_is_missing(home: Path) -> None:
    """A gap between two files is named."""
    first = put(home, b"".join(LINES[:10]))
    put(home, continued(saved=12) + b"".join(LINES[12:]), k=2)
    assert whats(read_plate(first)) == [(None, "lines 11 to 12 missing")]


def test_a_plate_is_found_by_its_spilled_file_alone(home: Path) -> None:
    """A plate whose own folder could not be written is in the list all the same, in its own log only."""
    spill = store_paths.spill_places()[0]
    put(home, continued(home=str(home)) + b"".join(LINES), k=2, folder=spill)
    put(
        home,
        continued(home="/elsewhere", plate=OTHER) + frame.encode(started(OTHER)),
        k=2,
        plate=OTHER,
        folder=spill,
    )
    assert find_plates(home) == [spill / f"{PLATE}.2.jsonl"]
    log = read_plate(find_plates(home)[0])
    assert (list(log.events), log.problems, log.local_date) == (EVENTS, (), DAY)


@pytest.mark.skipif(sys.platform == "win32", reason="needs owners and modes")
def test_a_spill_place_others_can_write_in_is_not_trusted(home: Path) -> None:
    """The temporary folder is everyone's: a folder there that is open to others is not read."""
    place = store_paths.spill_places()[1]
    first = put(home, b"".join(LINES[:10]))
    put(home, continued(saved=10) + b"".join(LINES[10:]), k=2, folder=place)
    place.chmod(0o777)
    assert len(read_plate(first).events) == 10


# --- files that are none ----------------------------------------------------------------------


def test_paths_that_cannot_be_read_are_problems(home: Path) -> None:
    """A folder, a pipe, a loop of links, no file and a name with a null byte are problems, not exceptions."""
    folder = store_paths.plate_path(home, PLATE, DAY).parent
    folder.mkdir(parents=True)
    (folder / "a-folder.jsonl").mkdir()
    os.mkfifo(folder / "a-pipe.jsonl")
    (folder / "loop.jsonl").symlink_to("loop.jsonl")
    paths = [*find_plates(home), folder / "not-there.jsonl", folder / "nul\0l.jsonl"]
    assert len(paths) == 5
    for path in paths:
        log = read_plate(path)
        assert log.events == ()
        assert "cannot be read" in log.problems[0].what


@pytest.mark.skipif(sys.platform == "win32", reason="needs modes")
def test_a_file_that_may_not_be_opened_is_a_problem() -> None:
    """Without leave to read a journal the plate is listed with a problem, and the others are read."""
    with tempfile.TemporaryDirectory() as name, as_nobody(Path(name)):
        home = Path(name) / "home"
        put(home, b"".join(LINES)).chmod(0)
        put(home, frame.encode(started(OTHER)), plate=OTHER)
        logs = [read_plate(path) for path in find_plates(home)]
    assert [len(log.problems) for log in logs] == [1, 0]
    assert "cannot be read" in logs[0].problems[0].what


@contextmanager
def as_nobody(folder: Path) -> Iterator[None]:
    """Be a user without rights where the tests run as root, who may read anything."""
    if os.geteuid() != 0:
        yield
        return
    os.chown(folder, 65534, -1)
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


def test_names_that_are_no_utf_8_can_be_said(tmp_path: Path, home: Path) -> None:
    """A folder with odd bytes in its name does not keep its problems from being printed."""
    odd = Path(os.fsdecode(os.fsencode(tmp_path) + b"/od\xffd"))
    try:
        first = put(odd, b"rubbish\n")
    except OSError:
        pytest.skip("this file system takes no such names")
    log = read_plate(first)
    assert "od\\xffd" in str(log.problems[0])
    str(log.problems[0]).encode("utf-8")


def test_a_very_long_file_is_read_so_far_and_said(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file larger than any journal is read up to the limit, and the rest is a problem."""
    monkeypatch.setattr(read, "LARGEST", len(LINES[0]) + 10)
    log = read_plate(put(home, b"".join(LINES)))
    assert len(log.events) == 1
    assert any("longer than" in what for _, what in whats(log))


def test_a_journal_that_grows_while_it_is_read(home: Path) -> None:
    """Each read gives whole lines only, never fewer than the read before."""
    first = put(home, b"")
    seen = 0
    with first.open("ab", buffering=0) as file:
        for line in LINES:
            for half in (line[:11], line[11:]):
                file.write(half)
                log = read_plate(first)
                assert seen <= len(log.events)
                seen = len(log.events)
                assert list(log.events) == EVENTS[:seen]
    assert seen == len(EVENTS)


def test_reading_changes_nothing(home: Path) -> None:
    """Readers leave bytes, times and folders as they are, damage and torn tails included."""
    first = put(home, b"".join(LINES[:5]) + b"rubbish\n" + LINES[6][:9])
    put(home, continued() + LINES[7], k=2)
    before = {path: (path.stat().st_mtime_ns, path.stat().st_size) for path in home.parent.rglob("*")}
    read_plate(first)
    find_plates(home)
    assert {path: (path.stat().st_mtime_ns, path.stat().st_size) for path in home.parent.rglob("*")} == before


@settings(max_examples=examples(150), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_the_reader_never_raises_and_shows_nothing_a_sum_refutes(home: Path, data: st.DataObject) -> None:
    """From lines doubled, cut, joined and mixed with junk the reader returns only lines that were written."""
    path = store_paths.plate_path(home, PLATE, DAY)
    place = st.integers(0, 80)
    torn = st.builds(lambda line, a, b: line[:a] + line[b:], st.sampled_from(LINES), place, place)
    piece = st.one_of(st.sampled_from(LINES), st.binary(max_size=20), torn)
    pieces: Sequence[bytes] = data.draw(st.lists(piece, max_size=12))
    files = data.draw(st.integers(1, 3))
    from darkroom.log.journal.merge import merge

    parts = [read.scan(path, k + 1, b"".join(pieces[k::files])) for k in range(files)]
    log = merge(PLATE, parts)
    assert all(event in EVENTS for event in log.events)
    whole = {line for line in LINES for piece in pieces if piece == line}
    shown = {frame.encode(event) for event in log.events if not isinstance(event, Newer)}
    assert shown >= {line for line in whole if all(piece in LINES for piece in pieces)}


def test_ten_thousand_lines_are_read_in_one_go(home: Path) -> None:
    """A journal of ten thousand lines is read completely, in order."""
    many = [started(), *marks(2, 9_999)]
    log = read_plate(put(home, b"".join(map(frame.encode, many))))
    assert list(log.events) == many
