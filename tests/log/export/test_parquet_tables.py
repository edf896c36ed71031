"""Parquet tables read back by DuckDB and Polars, against the CSV tables and the catalogue of the same log."""

from __future__ import annotations

import csv
import os
import sqlite3
import weakref
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest

pytest.importorskip("pyarrow", reason="pyarrow writes the tables")

import pyarrow.parquet as pq

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.export import parquet_tables
from darkroom.log.journal import frame
from darkroom.log.journal.plate_lines import READER
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.log.store import paths
from tests.kit import season as seasons
from tests.kit.export_fixtures import Export
from tests.kit.exports import DAY, EVIL, FIRST, FORMULA, NEXT_DAY, SECOND, WORDS, shelve, worked
from tests.kit.parquet import READERS, Reader, as_told, by_duckdb, by_polars, pairs


@pytest.fixture(params=READERS)
def read(request: pytest.FixtureRequest) -> Reader:
    """Return each engine's way to read a table."""
    return READERS[request.param]


def told_by_csv(export: Export, out: Path, table: str) -> list[dict[str, str]]:
    """Return the rows of the CSV table of the whole log."""
    assert export("csv", "--all", "--rows", table, "--force", "--to", out / "t.csv")[0] == 0
    with (out / "t.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("table", ["plates", "stages"])
@pytest.mark.parametrize("log", ["season", "plates"])
def test_each_row_says_what_the_table_for_people_says(
    log: str, table: str, out: Path, export: Export, request: pytest.FixtureRequest
) -> None:
    """Every cell, of plates worked, half done, hostile and of a whole season, in the same order."""
    request.getfixturevalue(log)
    count = len(told_by_csv(export, out, "plates"))
    assert export("parquet", "--all", "--to", out / "tables") == (
        0,
        f"{count} plates written to {out}/tables\n",
    )
    expected = told_by_csv(export, out, table)
    assert len(expected) >= count
    for reader in (by_duckdb, by_polars):
        assert [as_told(row, table) for row in reader(out / "tables", table)] == expected


def test_each_plate_is_the_one_of_the_catalogue(
    plates: list[Path], home: Path, out: Path, export: Export, read: Reader
) -> None:
    """Numbers, instants, stars, faults and stages are those that the catalogue has."""
    export("parquet", "--all", "--to", out / "tables")
    rows = {row["plate"]: row for row in read(out / "tables", "plates")}
    stages: dict[str, list[dict[str, Any]]] = {}
    for row in read(out / "tables", "stages"):
        stages.setdefault(row["plate"], []).append(row)
    with Catalogue(home) as catalogue:
        catalogue.check()
        known = catalogue.plates()
    assert {row["plate"] for row in known} == set(rows)
    for row in known:
        found = rows[row["plate"]]
        for key, name in (
            ("number", "number"), ("process", "process"), ("exposed", "exposure_given_s"), ("stars", "stars"),
            ("wet_used", "wet_used_s"), ("wet_about", "wet_estimated_s"), ("subject", "subject"),
            ("exposure_stops", "exposure_next_stops"), ("humidity", "humidity_percent"), ("path", "file"),
        ):  # fmt: skip
            assert found[name] == row[key], name
        assert found["begun"].timestamp() == row["moment"]
        assert found["day"].isoformat() == row["day"]
        assert (found["ended"] and found["ended"].isoformat()) == (
            row["ended"] and datetime.fromisoformat(row["ended"]).astimezone(UTC).isoformat()
        )
    with closing(sqlite3.connect(home / NAME)) as db:
        for path, plate in db.execute("SELECT path, plate FROM plates").fetchall():
            listed = db.execute(
                "SELECT position, stage, planned, seconds, source, celsius, origin, cleared, exposed "
                "FROM stages WHERE path = ? ORDER BY position",
                (path,),
            )
            keys = (
                "position",
                "stage",
                "planned_s",
                "took_s",
                "source",
                "celsius",
                "celsius_from",
                "cleared_s",
            )
            assert [
                tuple(row[key] for key in (*keys, "exposed_s")) for row in stages[plate]
            ] == listed.fetchall()


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["12"], [FIRST]),
        ([SECOND, "12"], [FIRST, SECOND]),
        (["--day", DAY], [FIRST, SECOND]),
        (["--find", f"since:{NEXT_DAY}"], [EVIL]),
    ],
)
def test_the_plates_that_are_asked_for(
    season: Path, out: Path, export: Export, read: Reader, words: list[str], expected: list[str]
) -> None:
    """By number, by id, of a day, of a filter: those plates and their stages, no others."""
    assert export("parquet", *words, "--to", out / "tables")[0] == 0
    assert [row["plate"] for row in read(out / "tables", "plates")] == expected
    assert list(dict.fromkeys(row["plate"] for row in read(out / "tables", "stages"))) == expected


def test_rehearsals_are_told_apart(season: Path, home: Path, out: Path, export: Export, read: Reader) -> None:
    """They are exported when they are asked for, and say what they are."""
    assert export("parquet", "--all", "--rehearsals", "--to", out / "none") == (
        1,
        "darkroom: no rehearsals\n",
    )
    assert list(out.iterdir()) == []
    lines = worked("20260303-090000-rrrrrr", 1, rehearsal=True)
    path = paths.plate_path(home, "20260303-090000-rrrrrr", "2026-03-03", rehearsal=True)
    path.parent.mkdir(parents=True)
    path.write_bytes(b"".join(map(frame.encode, lines)))
    for words, told in ((["--rehearsals"], [True]), ([], [False] * 3)):
        assert export("parquet", "--all", *words, "--force", "--to", out / "tables")[0] == 0
        assert [row["rehearsal"] for row in read(out / "tables", "plates")] == told


def test_what_a_hand_typed_stands_exactly(season: Path, out: Path, export: Export, read: Reader) -> None:
    """Control signs, NUL, signs that turn the writing, formulas: no sign is left out, changed or added."""
    export("parquet", EVIL, "--to", out / "tables")
    (row,) = read(out / "tables", "plates")
    assert (row["subject"], row["who"], row["lens"], row["aperture"]) == (WORDS, FORMULA, WORDS, "@f/8")
    assert pairs(row["bottles"]) == [(FORMULA.casefold(), WORDS)]  # a role is the same in any case
    assert row["notes"][-1] == WORDS
    assert row["fault_causes"][-1]["name"] == row["fault_causes"][-1]["where"] == WORDS
    assert row["details"][-1] == {"key": WORDS, "value": FORMULA}


def test_what_is_not_known_is_null(home: Path, out: Path, export: Export, read: Reader) -> None:
    """Of a journal of rubbish the plate, its day, what is wrong and its file are known, and nothing else."""
    shelve(home, worked()).write_bytes(b"rubbish")
    export("parquet", "--all", "--to", out / "tables")
    (row,) = read(out / "tables", "plates")
    known = {key for key, value in row.items() if value is not None}
    assert known == {"plate", "day", "year", "problems", "file", "times_estimated"}
    assert read(out / "tables", "stages") == []


def test_years_are_parts_that_engines_know(home: Path, out: Path, export: Export, read: Reader) -> None:
    """A plate stands in the year of its day on the wall, which engines read as a number of the row."""
    for plate, day in ((FIRST, "2025-12-31"), (SECOND, "2026-01-01"), (EVIL, "2026-01-02")):
        shelve(home, worked(plate), day)
    export("parquet", "--all", "--to", out / "tables")
    files = sorted(str(path.relative_to(out / "tables")) for path in out.rglob("*.parquet"))
    assert files == [
        f"{table}/year={year}/part-0.parquet" for table in ("plates", "stages") for year in (2025, 2026)
    ]
    assert [(row["plate"], row["year"]) for row in read(out / "tables", "plates")] == [
        (FIRST, 2025), (SECOND, 2026), (EVIL, 2026),
    ]  # fmt: skip


def test_a_plate_without_a_day_has_no_year(season: Path, out: Path, read: Reader) -> None:
    """A day that is no date, as a hand may write it, is null, and so is the year."""
    record = read_record(next(season.rglob(f"{FIRST}.jsonl")))
    odd = msgspec.structs.replace(record, log=msgspec.structs.replace(record.log, local_date="2026-02-30"))
    (out / "t").mkdir()
    parquet_tables.write_tables([odd, record], out / "t")
    assert sorted((row["year"] or 0, row["day"]) for row in read(out / "t", "plates")) == [
        (0, None),
        (2026, datetime(2026, 3, 1).date()),
    ]


def test_folders_of_many_benches_keep_their_plates_apart(
    home: Path, out: Path, tmp_path: Path, export: Export, read: Reader
) -> None:
    """Of a merged log, and of exports laid beside each other, `bench` and `plate` are one plate's alone."""
    made = {"f0f0000000000001": 11, "f0f0000000000002": 12, "f0f0000000000003": 13}
    for bench, seed in made.items():
        for plate in seasons.season(20, seed=seed, days=30):
            folder = home / "plates" / plate.day[:4] / plate.day
            folder.mkdir(parents=True, exist_ok=True)
            lines = [READER.decode(line) for line in plate.data.splitlines()]
            lines[0] = msgspec.structs.replace(lines[0], bench=bench)
            (folder / f"{plate.plate}.jsonl").write_bytes(b"".join(map(frame.encode, lines)))
    assert export("parquet", "--all", "--to", out / "club")[0] == 0
    rows = read(out / "club", "plates")
    assert len({(row["bench"], row["plate"]) for row in rows}) == len(rows) == 60
    assert {row["bench"] for row in rows} == set(made)
    stages = read(out / "club", "stages")
    assert len({(row["bench"], row["plate"], row["position"]) for row in stages}) == len(stages) > 300
    assert {(row["bench"], row["plate"]) for row in stages} == {(row["bench"], row["plate"]) for row in rows}


@pytest.mark.parametrize(("batch", "group"), [(1, 1), (3, 7), (1000, 1000)])
def test_batches_and_row_groups_change_no_row(
    plates: list[Path], out: Path, export: Export, monkeypatch: pytest.MonkeyPatch, batch: int, group: int
) -> None:
    """However many rows are gathered and written at a time, the tables are the same."""
    export("parquet", "--all", "--to", out / "usual")
    monkeypatch.setattr(parquet_tables, "BATCH_ROWS", batch)
    monkeypatch.setattr(parquet_tables, "GROUP_ROWS", group)
    monkeypatch.setattr(parquet_tables, "MOST_GROUPS", 1000)
    export("parquet", "--all", "--to", out / "other")
    for table in ("plates", "stages"):
        assert by_polars(out / "usual", table) == by_polars(out / "other", table)
    (file,) = (out / "other" / "plates").rglob("*.parquet")
    groups = pq.ParquetFile(file).metadata.num_row_groups
    assert groups == -(-60 // -(-group // batch * batch)) if group <= 60 else groups == 1


def test_a_year_that_comes_again_goes_on_in_a_new_file(
    plates: list[Path], out: Path, monkeypatch: pytest.MonkeyPatch, read: Reader
) -> None:
    """More years than files are open at a time: each has as many files as it needs, and all its rows."""
    monkeypatch.setattr(parquet_tables, "MOST_YEARS", 2)
    records = [read_record(path) for path in plates[:12]]
    for number, record in enumerate(records):
        log = msgspec.structs.replace(record.log, local_date=f"{2020 + number % 4}-05-01")
        records[number] = msgspec.structs.replace(record, log=log)
    (out / "t").mkdir()
    parquet_tables.write_tables(records, out / "t")
    names = sorted(path.name for path in (out / "t" / "plates" / "year=2021").iterdir())
    assert names == ["part-0.parquet", "part-1.parquet", "part-2.parquet"]
    rows = read(out / "t", "plates")
    assert sorted((row["plate"], row["year"]) for row in rows) == [
        (record.log.plate, 2020 + number % 4) for number, record in enumerate(records)
    ]


def test_a_file_has_so_many_row_groups_at_most(
    plates: list[Path], out: Path, monkeypatch: pytest.MonkeyPatch, read: Reader
) -> None:
    """What is known of its row groups waits in memory for the end of a file: a further one takes the rest."""
    for name, value in (("BATCH_ROWS", 5), ("GROUP_ROWS", 5), ("MOST_GROUPS", 4)):
        monkeypatch.setattr(parquet_tables, name, value)
    records = [read_record(path) for path in plates]
    (out / "t").mkdir()
    parquet_tables.write_tables(records, out / "t")
    parts = sorted((out / "t" / "plates" / "year=2026").iterdir())
    assert [path.name for path in parts] == ["part-0.parquet", "part-1.parquet", "part-2.parquet"]
    assert [pq.ParquetFile(path).metadata.num_row_groups for path in parts] == [4, 4, 4]
    assert [row["plate"] for row in read(out / "t", "plates")] == [record.log.plate for record in records]


def test_no_record_is_kept(plates: list[Path], out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While plates are written, no more of their records are alive than are gathered at a time."""
    monkeypatch.setattr(parquet_tables, "BATCH_ROWS", 5)
    alive: list[weakref.ref[PlateRecord]] = []
    most = 0

    class Watched(PlateRecord, frozen=True, kw_only=True, dict=True, weakref=True):
        """A record that can be watched."""

    def records() -> Iterator[PlateRecord]:
        nonlocal most
        for path in plates:
            record = read_record(path)
            watched = Watched(
                log=record.log, account=record.account, state=record.state, judged=record.judged
            )
            alive.append(weakref.ref(watched))
            yield watched
            del watched, record
            most = max(most, sum(ref() is not None for ref in alive))

    (out / "t").mkdir()
    parquet_tables.write_tables(records(), out / "t")
    assert len(alive) == 60
    assert most <= 2


def test_an_interrupted_reading_leaves_nothing_open(plates: list[Path], out: Path) -> None:
    """An error on the way closes every file, and nothing is told beside it."""

    def records() -> Iterator[PlateRecord]:
        yield read_record(plates[0])
        raise OSError(5, "Input/output error")

    (out / "t").mkdir()
    with pytest.raises(OSError, match="Input/output"):
        parquet_tables.write_tables(records(), out / "t")
    opened = {os.readlink(path) for path in Path("/proc/self/fd").iterdir() if path.is_symlink()}
    assert not any(str(out) in name for name in opened)
