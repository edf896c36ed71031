"""Plates that are surely not on the bench are told without building their lines, and never wrongly."""

from __future__ import annotations

import random
from contextlib import suppress
from datetime import date, timedelta
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.bench import events as ev
from darkroom.errors import LineError
from darkroom.event_base import Newer
from darkroom.log.journal import frame, merge, resume
from darkroom.log.journal.journal_names import FolderCache
from darkroom.log.journal.merge import read_plate
from darkroom.log.journal.plate_lines import READER
from darkroom.log.journal.surely_away import surely_away
from tests.kit import odd_journals, season
from tests.kit.nightly import examples

SEASON = list(season.season(12, seed=3))
OTHER_BENCH = "another"


def is_away(path: Path, bench_id: str) -> bool:
    """Return what a full reading says."""
    log = read_plate(path)
    return log.ended is not None or (
        log.start is not None and (log.start.bench != bench_id or log.start.rehearsal)
    )


def put(folder: Path, plate: str, data: bytes) -> Path:
    """Write a journal into a day's folder, in place of what was there."""
    path = folder / "2026-04-01" / f"{plate}.jsonl"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def mutated(data: bytes, rng: random.Random) -> bytes:
    """Return the lines with something else in them: gone, twice, exchanged, undone, other members, cut."""
    lines = data.splitlines(keepends=True)
    at = rng.randrange(len(lines))
    kind = rng.randrange(8)
    if kind == 0:
        del lines[at]
    elif kind == 1:
        lines.insert(rng.randrange(len(lines)), lines[at])
    elif kind == 2:
        other = rng.randrange(len(lines))
        lines[at], lines[other] = lines[other], lines[at]
    elif kind == 3:
        n = len(lines) + 1
        undone = (rng.randrange(1, n),)
        lines.append(frame.encode(ev.Undone(n=n, at="x", up=None, undoes=undone, held=False)))
    elif kind == 4:
        del lines[rng.randrange(1, len(lines) + 1) :]
    elif kind == 5:
        lines[at] = lines[at][: rng.randrange(len(lines[at]))]
    elif kind == 6:
        event = READER.decode(lines[at])
        assert not isinstance(event, Newer)
        lines[at] = frame.encode(msgspec.structs.replace(event, n=rng.randrange(0, len(lines) + 3)))
    else:
        start = READER.decode(lines[0])
        assert isinstance(start, ev.PlateStarted)
        members = {"rehearsal": rng.random() < 0.5, "bench": rng.choice((season.BENCH, OTHER_BENCH))}
        lines[0] = frame.encode(msgspec.structs.replace(start, **members))
    return b"".join(lines)


@settings(max_examples=examples(150), deadline=None)
@given(seed=st.integers(0, 2**32), changes=st.integers(0, 3))
def test_it_is_never_said_wrongly(seed: int, changes: int, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whatever happened to a journal: where it says away, a full reading says so too."""
    rng = random.Random(seed)
    made = rng.choice(SEASON)
    data = made.data
    for _ in range(changes):
        with suppress(LineError):  # a line that is cut has no members to be changed
            data = mutated(data, rng) or data
    path = put(tmp_path_factory.getbasetemp() / "away", made.plate, data)
    for bench_id in (season.BENCH, OTHER_BENCH):
        said = surely_away(path, bench_id, FolderCache())
        assert not said or is_away(path, bench_id)
        if not changes:
            assert said == is_away(path, bench_id)


def test_a_second_file_and_a_last_line_that_is_cut_are_read(tmp_path: Path) -> None:
    """A plate of two files, one with an unfinished line and one of an event that takes something back."""
    data = SEASON[0].data
    path = put(tmp_path, "p", data)
    assert surely_away(path, season.BENCH, FolderCache())
    for odd in (data[:-1], data + b'{"n":', b"", b"\n"):
        assert not surely_away(put(tmp_path, "p", odd), season.BENCH, FolderCache())
    put(tmp_path, "p", data)
    put(tmp_path, "p.2", b"")
    assert not surely_away(path, season.BENCH, FolderCache())
    assert not surely_away(tmp_path / "none.jsonl", season.BENCH, FolderCache())


def test_a_lost_book_has_none_but_the_open_plates_read(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without bench.json, of the plates of thirty days those that have not ended are read, each once; the
    answer is that of reading all of them."""
    today = date.today()
    count = 0
    for number, made in enumerate(season.season(40, seed=3)):
        day = (today - timedelta(days=number % 30)).isoformat()
        lines = made.data.splitlines(keepends=True)
        is_open = number % 10 == 0
        count += is_open
        odd_journals.write(home, made.plate, lines[:5] if is_open else lines, day)
    read: list[Path] = []
    read_file = merge.read_file
    monkeypatch.setattr(merge, "read_file", lambda path: (read.append(path), read_file(path))[1])
    quick = resume.returning(home, season.BENCH)
    assert len(read) == len(set(read)) == count == len(quick.plates)
    monkeypatch.setattr(resume, "surely_away", lambda *_: False)
    slow = resume.returning(home, season.BENCH)
    assert len(read) == count + 40
    assert [log.events for log in quick.plates] == [log.events for log in slow.plates]
    assert (quick.left_out, quick.unread) == (slow.left_out, slow.unread)
