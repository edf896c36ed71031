"""The columns of the Parquet tables: a lasting schema, odd values, any words at all."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime
from importlib import util
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

pytest.importorskip("pyarrow", reason="pyarrow writes the tables")

import pyarrow as pa
import pyarrow.parquet as pq

from darkroom.log.export import parquet_columns, parquet_tables
from darkroom.log.export.parquet_columns import (
    OFFSET,
    PLATES,
    SCHEMA,
    STAGES,
    instant,
    number,
    offset,
    text,
    whole,
)
from darkroom.log.plate import bottle_text
from darkroom.log.plate.columns import PLATE, STAGE
from darkroom.log.plate.record import read_record
from tests.kit.export_fixtures import Export
from tests.kit.exports import FIRST, hostile, shelve
from tests.kit.nightly import examples
from tests.kit.parquet import by_duckdb, by_polars, pairs

FIXTURE = Path(__file__).parents[2] / "fixtures" / f"parquet_columns_{SCHEMA}.txt"


def columns() -> list[str]:
    """Return each column of both tables in one line: table, key, Arrow type."""
    return [
        f"{table} {field.name}: {field.type}"
        for table, of in (("plates", PLATES), ("stages", STAGES))
        for field in parquet_tables.schema(of)
    ]


def test_no_column_is_renamed_or_retyped() -> None:
    """Every column that this version of the tables has ever had is there, in its order, with its type."""
    lasting = FIXTURE.read_text(encoding="utf-8").splitlines()
    assert len(lasting) > 90
    assert [column for column in columns() if column in set(lasting)] == lasting


def test_every_column_of_the_tables_for_people_is_there() -> None:
    """Under the key that JSON Lines has; beside them the bench, the day, and the zone of each instant."""
    for table, of, extra in ((PLATE, PLATES, {"begun", "ended"}), (STAGE, STAGES, {"begun"})):
        keys = [column.key for column in of]
        expected = {key for _, key, _ in table} | {"bench", "day"} | {key + OFFSET for key in extra}
        assert set(keys) == expected and len(keys) == len(expected)


def test_each_file_says_its_version_and_what_its_columns_are(season: Path, out: Path, export: Export) -> None:
    """The schema in the file is the one in the code, with headings that name the units."""
    export("parquet", "--all", "--to", out / "t")
    for table, of in (("plates", PLATES), ("stages", STAGES)):
        (path,) = (out / "t" / table).rglob("*.parquet")
        found = pq.read_schema(path)
        assert found.remove_metadata() == parquet_tables.schema(of).remove_metadata()
        assert found.metadata[b"darkroom_tables"] == SCHEMA.encode()
        assert all(field.metadata[b"heading"] for field in found)
    assert pq.read_schema(path).field("took_s").metadata[b"heading"] == b"took (s)"


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("2026-03-01T00:00:10.123+01:00", (datetime(2026, 2, 28, 23, 0, 10, 123000, UTC), 60)),
        ("2026-03-01T00:00:10-09:30", (datetime(2026, 3, 1, 9, 30, 10, 0, UTC), -570)),
        ("2026-03-01T12:00:00Z", (datetime(2026, 3, 1, 12, 0, 0, 0, UTC), 0)),
        ("2026-03-01T12:00:00", (datetime(2026, 3, 1, 12, 0, 0, 0, UTC), None)),
        ("0001-01-01T00:00:00+14:00", (None, 840)),
        ("9999-12-31T23:00:00-14:00", (None, -840)),
        ("yesterday", (None, None)),
        (None, (None, None)),
    ],
)
def test_an_instant_and_the_zone_it_was_written_in(value: str | None, expected: tuple[Any, Any]) -> None:
    """RFC 3339: an instant of the years 1 to 9999 and its offset; what is no time is null."""
    ticks = instant(value)
    array = pa.array([ticks], pa.timestamp("us", tz="UTC")).to_pylist()
    assert (array[0], offset(value)) == expected


@pytest.mark.parametrize(
    ("convert", "value", "expected"),
    [
        (whole, 2**63 - 1, 2**63 - 1), (whole, 2**63, None), (whole, -(2**63) - 1, None), (whole, 1.5, None),
        (number, 3, 3.0), (number, 10**400, None), (number, "3", None), (number, None, None),
        (text, "Schloßmühle", "Schloßmühle"), (text, "a\ud800b", "a\\ud800b"), (text, None, None),
        (parquet_columns.day, "2026-02-30", None), (parquet_columns.day, "1970-01-02", 1),
        (parquet_columns.yes_no, None, None), (parquet_columns.yes_no, True, True),
    ],
)  # fmt: skip
def test_a_value_that_its_type_cannot_hold_is_null(convert: Any, value: object, expected: object) -> None:
    """Numbers beyond 64 bits are null; half of a pair, which UTF-8 cannot say, is written as an escape."""
    assert convert(value) == expected


WORDS = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40)


@settings(max_examples=examples(25), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(WORDS, WORDS, WORDS)
def test_any_words_come_back_exactly(home: Path, subject: str, fault: str, bottle: str) -> None:
    """Whatever is typed as subject, note, fault, detail and bottle is what both engines read."""
    lines = hostile(FIRST, 12, fault)
    lines[0] = msgspec.structs.replace(lines[0], subject=subject, bottles={"collodion": bottle})
    record = read_record(shelve(home, lines))
    with tempfile.TemporaryDirectory() as folder:
        parquet_tables.write_tables([record], Path(folder))
        for read in (by_duckdb, by_polars):
            (row,) = read(Path(folder), "plates")
            assert row["subject"] == record.log.start.subject == subject  # type: ignore[union-attr]
            assert row["notes"] == list(record.judged.notes)
            assert row["fault_causes"][-1]["name"] == record.judged.faults[-1].name == fault
            assert [detail["key"] for detail in row["details"]] == [key for key, _ in record.judged.details]
            assert dict(pairs(row["bottles"])) == bottle_text.names(record)


@settings(max_examples=examples(25))
@given(st.lists(st.text(st.characters(), max_size=8), min_size=1, max_size=4))
def test_halves_of_pairs_are_written_as_escapes(words: list[str]) -> None:
    """Any text at all, also one that comes from a file's name of other bytes, can be written and read."""
    written = [text(word) or "" for word in words]
    for word, found in zip(words, written, strict=True):
        assert found.encode().decode() == found
        assert found == word or any("\ud800" <= sign <= "\udfff" for sign in word)


def test_without_the_library_it_says_how_to_get_it(
    season: Path, out: Path, export: Export, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One line, status 1, nothing made, and before any journal is read."""
    monkeypatch.setattr(
        parquet_tables, "find_spec", lambda name: None if name == "pyarrow" else util.find_spec(name)
    )
    assert export("parquet", "--day", "no day", "--to", out / "t") == (
        1,
        "darkroom: parquet needs the library pyarrow, which is not installed: "
        "pip install 'darkroom[tables]'\n",
    )
    assert list(out.iterdir()) == []


def test_a_library_that_cannot_be_loaded_is_told(
    season: Path, out: Path, export: Export, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is there, but for another machine or Python: the reason is told."""

    def fail(name: str) -> Any:
        raise ImportError("libarrow.so: wrong ELF class")

    monkeypatch.setattr(parquet_tables, "import_module", fail)
    assert export("parquet", "--all", "--to", out / "t") == (
        1,
        "darkroom: parquet needs the library pyarrow, which cannot be loaded: libarrow.so: wrong ELF class\n",
    )


def test_the_other_formats_do_not_load_it(season: Path, out: Path) -> None:
    """pyarrow is loaded for its own format alone; the help needs none of it."""
    import subprocess
    import sys

    program = (
        "import sys\nfrom darkroom.cli import main\n"
        f"main(['log', 'export', 'csv', '--all', '--to', {str(out / 't.csv')!r}])\n"
        "try: main(['log', 'export', '--help'])\nexcept SystemExit: pass\n"
        "print('pyarrow' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "False"
    assert (out / "t.csv").exists()


def test_the_help_tells_of_the_format(capsys: pytest.CaptureFixture[str]) -> None:
    """What it writes, and that PATH is a new folder."""
    from darkroom.cli import main

    assert main(["log", "export", "--help"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "parquet tables of plates and stages for engines of many rows, into the new folder PATH" in said
    assert "for parquet a new folder" in said
