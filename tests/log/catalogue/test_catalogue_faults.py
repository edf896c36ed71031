"""Faulty journals in the catalogue: a clear line that says what and where, everything good still shown."""

from __future__ import annotations

import os
import zlib
from pathlib import Path

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from darkroom import plain_files
from darkroom.bench import events as ev
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import Row
from darkroom.log.catalogue.query import Query
from darkroom.log.journal import frame
from darkroom.log.journal.plate_lines import READER
from tests.kit.nightly import examples


def seen(home: Path) -> tuple[dict[str, Row], list[str]]:
    """Return the rows by file and the problems as text."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        rows = {str(row["path"]): row for row in catalogue.plates()}
        return rows, [str(problem) for problem in catalogue.problems_of()]


def test_a_truncated_journal(home: Path, plates: list[Path]) -> None:
    """A torn last line of a finished plate is named with its line; what stands before it is shown."""
    data = plates[0].read_bytes()
    plates[0].write_bytes(data[:-7])
    rows, problems = seen(home)
    count = data.count(b"\n")
    assert [problem for problem in problems if str(plates[0]) in problem] == [
        f"{plates[0]}:{count}: the last line is unfinished; it was never saved"
    ]
    assert rows[str(plates[0])]["process"]
    assert len(rows) == len(plates)


def test_two_journals_interleaved(home: Path, plates: list[Path]) -> None:
    """The lines of another plate among a plate's own: the first of each number counts, the rest is named."""
    ours, theirs = plates[0].read_bytes().splitlines(True), plates[1].read_bytes().splitlines(True)
    mixed = [line for pair in zip(ours, theirs, strict=False) for line in pair]
    plates[0].write_bytes(b"".join(mixed))
    rows, problems = seen(home)
    of_plate = [problem for problem in problems if str(plates[0]) in problem]
    assert any(f"the start of another plate, {plates[1].stem}" in problem for problem in of_plate)
    assert any("another line 2 stands in" in problem for problem in of_plate)
    assert rows[str(plates[0])]["number"] == 1


def test_a_duplicated_journal(home: Path, plates: list[Path]) -> None:
    """Lines that occur twice count once without a problem; a copy in another folder is a second plate."""
    before = seen(home)[0][str(plates[0])]
    plates[0].write_bytes(plates[0].read_bytes() * 2)
    copy = home / "plates" / "2026" / "2026-12-24" / plates[0].name
    copy.parent.mkdir()
    copy.write_bytes(plates[0].read_bytes())
    rows, problems = seen(home)
    assert rows[str(plates[0])] == before
    assert rows[str(copy)]["number"] == before["number"]
    assert [problem for problem in problems if plates[0].name in problem] == []


def test_a_hand_edited_journal(home: Path, plates: list[Path]) -> None:
    """A value changed by hand is refuted by its sum: it is named and never shown."""
    data = plates[0].read_bytes()
    plates[0].write_bytes(data.replace(b'"stage":"develop","seconds":', b'"stage":"develop","seconds":9'))
    with Catalogue(home) as catalogue:
        catalogue.check()
        stages = [row for row in catalogue.stages() if row["path"] == str(plates[0])]
        problems = [str(problem) for problem in catalogue.problems_of() if problem.file == str(plates[0])]
    assert all(row["seconds"] < 900 for row in stages if row["stage"] == "develop")
    assert any("the sum is not that of the line" in problem for problem in problems)


def test_a_journal_of_a_later_version(home: Path, plates: list[Path]) -> None:
    """A higher schema and an unknown event are read as far as they are known, without a problem."""
    first, *rest = plates[0].read_bytes().splitlines(True)
    start = READER.decode(first)
    assert isinstance(start, ev.PlateStarted)
    newer = frame.encode(msgspec.structs.replace(start, schema=9))
    body = b'{"n":%d,"at":"2027-01-01T00:00:00.000+00:00","up":null,"event":"toned"' % (len(rest) + 2)
    plates[0].write_bytes(b"".join([newer, *rest, body + b',"sum":"%08x"}\n' % zlib.crc32(body)]))
    rows, problems = seen(home)
    assert rows[str(plates[0])]["number"] == 1
    assert rows[str(plates[0])]["ended"] is not None
    assert problems == []


@pytest.mark.parametrize(
    ("data", "phrase"),
    [
        (b"", "empty: nothing was saved in it"),
        (b"\n\n", "not a line of a journal"),
        (b"\xff\xfe\x00z\n" * 3, "not a line of a journal"),
        ("Notizen über Platten\n".encode("latin-1"), "not a line of a journal"),
        (b'{"n":1,"at":"x","up":null,"event":"note","text":"\xe9","sum":"00000000"}\n', "the sum is not"),
        (b"\x00" * 5000, "the last line is unfinished"),
    ],
)
def test_a_file_that_is_no_journal(home: Path, plates: list[Path], data: bytes, phrase: str) -> None:
    """Empty, blank, not UTF-8, zeros: one row without facts, a problem that names it, the rest."""
    plates[5].write_bytes(data)
    rows, problems = seen(home)
    assert rows[str(plates[5])]["number"] is None
    assert rows[str(plates[5])]["plate"] == plates[5].stem
    assert len(rows) == len(plates)
    assert any(problem.startswith(str(plates[5])) and phrase in problem for problem in problems)


def test_text_that_is_not_utf8_behind_a_right_sum(home: Path, plates: list[Path]) -> None:
    """A line whose sum is right and whose text is not UTF-8 is named; the others count."""
    body = b'{"n":900,"at":"x","up":null,"event":"note","text":"\xe9t\xe9"'
    with plates[0].open("ab") as file:
        file.write(body + b',"sum":"%08x"}\n' % zlib.crc32(body))
    rows, problems = seen(home)
    assert rows[str(plates[0])]["number"] == 1
    assert any("text that is not UTF-8" in problem for problem in problems)


def test_numbers_and_signs_no_table_can_keep(home: Path, plates: list[Path]) -> None:
    """A plate's number beyond 64 bits, NUL and odd signs in its subject: the row stands, the rest too."""
    first, *rest = plates[0].read_bytes().splitlines(True)
    start = READER.decode(first)
    assert isinstance(start, ev.PlateStarted)
    odd = msgspec.structs.replace(start, number=10**30, subject="\x00\u202e\U0001f600")
    plates[0].write_bytes(b"".join([frame.encode(odd), *rest]))
    rows, _ = seen(home)
    assert len(rows) == len(plates)
    assert rows[str(plates[0])]["number"] == str(10**30)


def test_a_file_that_cannot_be_read(home: Path, plates: list[Path]) -> None:
    """A folder, a pipe, a link to nothing and a link to itself in a journal's place are named."""
    day = plates[0].parent
    names = [f"20260401-07000{number}-faulty" for number in range(4)]
    (day / f"{names[0]}.jsonl").mkdir()
    os.mkfifo(day / f"{names[1]}.jsonl")
    (day / f"{names[2]}.jsonl").symlink_to(day / "nothing")
    (day / f"{names[3]}.jsonl").symlink_to(day / f"{names[3]}.jsonl")
    rows, problems = seen(home)
    for name in names:
        assert rows[str(day / f"{name}.jsonl")]["started"] is None
        assert any(problem.startswith(f"{day / name}.jsonl: cannot be read") for problem in problems), name
    assert len(rows) == len(plates) + 4


def test_folders_that_lead_round_in_circles(home: Path, plates: list[Path]) -> None:
    """A year or a day that links to a folder above it ends the search, not the program."""
    (home / "plates" / "2031").symlink_to(home / "plates")
    (home / "plates" / "2026" / "2026-01-01").symlink_to(home / "plates" / "2026")
    (home / "plates" / "2026" / "2026-01-02").symlink_to(home / "plates" / "2026" / "2026-01-02")
    rows, problems = seen(home)
    assert len(rows) == len(plates)
    assert any("2026-01-02: cannot be read" in problem for problem in problems)


def test_what_could_not_be_read_is_tried_again(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file that becomes readable is read although its size and time are the same."""
    true = plain_files.open_plain

    def refused(path: Path) -> int:
        if path == plates[0]:
            raise PermissionError(13, "Permission denied")
        return true(path)

    with Catalogue(home) as catalogue:
        monkeypatch.setattr(plain_files, "open_plain", refused)
        catalogue.check()
        assert any("Permission denied" in str(problem) for problem in catalogue.problems_of())
        monkeypatch.setattr(plain_files, "open_plain", true)
        catalogue.check()
        assert catalogue.problems_of() == []
        assert catalogue.count(Query(words=plates[0].stem)) == 1


def test_a_clock_that_went_back(home: Path, plates: list[Path]) -> None:
    """A plate of 1970 and one whose time is no time are listed; order is by id and never fails."""
    start = READER.decode(plates[0].read_bytes().splitlines(True)[0])
    assert isinstance(start, ev.PlateStarted)
    for plate, at in (
        ("19700101-000000-aaaaaa", "1970-01-01T00:00:00.000+00:00"),
        ("19700101-000001-bbbbbb", "x"),
    ):
        day = home / "plates" / "1970" / "1970-01-01"
        day.mkdir(parents=True, exist_ok=True)
        first = msgspec.structs.replace(start, plate=plate, at=at)
        (day / f"{plate}.jsonl").write_bytes(frame.encode(first))
    with Catalogue(home) as catalogue:
        catalogue.check()
        ids = [row["plate"] for row in catalogue.plates()]
        assert ids == sorted(ids, reverse=True)
        assert [row["moment"] for row in catalogue.plates(Query(order="oldest"), limit=2)] == [0.0, None]


def test_two_plates_with_one_number(home: Path, plates: list[Path]) -> None:
    """The number is a label: both are listed, and a word that means both says so."""
    from darkroom.errors import AmbiguousPlate

    second = READER.decode(plates[1].read_bytes().splitlines(True)[0])
    assert isinstance(second, ev.PlateStarted)
    rest = plates[1].read_bytes().splitlines(True)[1:]
    plates[1].write_bytes(b"".join([frame.encode(msgspec.structs.replace(second, number=1)), *rest]))
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert [row["number"] for row in catalogue.plates(Query(order="oldest"), limit=2)] == [1, 1]
        with pytest.raises(AmbiguousPlate) as raised:
            catalogue.find("1")
    assert plates[0].stem in str(raised.value)
    assert plates[1].stem in str(raised.value)


@settings(max_examples=examples(60), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_any_damage_leaves_the_others_and_shows_nothing_refuted(
    home: Path, plates: list[Path], data: st.DataObject
) -> None:
    """Bytes cut out, put in or changed anywhere: no error, and each stage shown is one the sums vouch for."""
    good = (home.parent / "good").read_bytes() if (home.parent / "good").exists() else plates[9].read_bytes()
    (home.parent / "good").write_bytes(good)
    at = data.draw(st.integers(0, len(good)))
    cut = data.draw(st.integers(0, 200))
    put = data.draw(st.binary(max_size=40))
    plates[9].write_bytes(good[:at] + put + good[at + cut :])
    true = [READER.decode(line) for line in good.splitlines()]
    start = true[0]
    assert isinstance(start, ev.PlateStarted)
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert catalogue.count() == len(plates)
        row = catalogue.plates(Query(words=plates[9].stem))[0]
        stages = catalogue.stages(Query(words=plates[9].stem))
    assert row["number"] in (start.number, None)
    assert row["subject"] in (start.subject, None)
    assert row["stars"] in {None, *(line.stars for line in true if isinstance(line, ev.Rating))}
    planned = {
        None,
        *(
            round(line.planned, 3)
            for line in true
            if isinstance(line, ev.StageEnded) and line.planned is not None
        ),
    }
    assert {stage["planned"] for stage in stages} <= planned
    assert {stage["celsius"] for stage in stages} <= {None, *(c for c, _ in start.temperatures.values())}
