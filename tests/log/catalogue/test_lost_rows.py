"""Rows that the catalogue has lost are noticed, and read anew; not by a page or a filter's count."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import astuple

from darkroom.log.catalogue import row_totals
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.schema import BY_PATH
from darkroom.log.store import paths as store_paths
from darkroom.log.trends.reading import trend_rows
from tests.kit import damage

FEW = 10
ASKED: dict[str, tuple[tuple[str, ...], Callable[[Catalogue], object]]] = {
    "stages": (("stages", "plates", "plates_by_id"), Catalogue.stages),
    "plates": (("plates", "faults", "plates_by_id", "faults_by_path"), Catalogue.plates),
    "a page": (("faults", "faults_by_path"), lambda catalogue: catalogue.plates(limit=5)),
    "a count": (("plates", "plates_by_id"), Catalogue.count),
    "lines": (("listed",), lambda catalogue: catalogue.line_texts(Query())),
    "lines of a query": (("plates", "faults"), lambda catalogue: catalogue.line_texts(Query(words="e"))),
    "uses": (("uses", "uses_by_bottle"), Catalogue.plate_uses),
    "trends": (
        ("trend_plates",),
        lambda catalogue: list(map(astuple, trend_rows(catalogue, Query()).plates)),
    ),
}
"""{what is asked: (the tables and indexes that it is answered from, the question)}."""
CASES = [(what, name) for what, (names, _) in ASKED.items() for name in names]


@pytest.fixture
def sound(home: Path, plates: list[Path]) -> bytes:
    """Return the bytes of a sound catalogue of a few plates, one with a fault."""
    for path in plates[FEW:]:
        path.unlink()
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert all(catalogue.select(f"SELECT * FROM {table}") for table in BY_PATH)
    return (home / NAME).read_bytes()


def asked(home: Path, what: str, is_checked: bool) -> object:
    """Return the answer to one of the questions, without comparing the journals first or after it."""
    with Catalogue(home) as catalogue:
        if is_checked:
            catalogue.check()
        return ASKED[what][1](catalogue)


@pytest.mark.parametrize("is_checked", [True, False])
@pytest.mark.parametrize(("what", "name"), CASES)
def test_an_empty_first_page_is_noticed(
    home: Path, sound: bytes, what: str, name: str, is_checked: bool
) -> None:
    """An empty page in place of the first one of a table or an index is sound by itself."""
    expected = asked(home, what, True)
    assert expected
    damage.put(home, damage.emptied(home, name))
    assert asked(home, what, is_checked) == expected


@pytest.mark.parametrize("is_checked", [True, False])
@pytest.mark.parametrize(("what", "table"), [case for case in CASES if case[1] in BY_PATH])
def test_rows_that_another_program_took_away_are_noticed(
    home: Path, sound: bytes, what: str, table: str, is_checked: bool
) -> None:
    """Rows that are gone with their entries in every index leave a table that is sound."""
    expected = asked(home, what, True)
    newest = f"SELECT path FROM {table} ORDER BY path DESC LIMIT 1"
    damage.changed_by_sql(home, f"DELETE FROM {table} WHERE path = ({newest})")
    assert asked(home, what, is_checked) == expected


def test_a_plate_that_stands_twice_behind_one_first_file_is_counted_once(
    home: Path, plates: list[Path]
) -> None:
    """Begun in a spill place, gone on at home, and copied from there into another day: nothing is damaged."""
    for path in plates[1:]:
        path.unlink()
    begun = plates[0]
    (spill, *_) = store_paths.spill_places()
    spill.mkdir(parents=True, mode=0o700, exist_ok=True)
    lines = begun.read_bytes().splitlines(keepends=True)
    (spill / begun.name).write_bytes(b"".join(lines[:10]))
    further = begun.with_name(f"{begun.stem}.2.jsonl")
    further.write_bytes(b"".join(lines[10:]))
    begun.unlink()
    other = begun.parents[2] / "2025" / begun.parent.name
    other.mkdir(parents=True)
    (other / further.name).write_bytes(further.read_bytes())
    for _ in range(2):
        with Catalogue(home) as catalogue:
            catalogue.check()
            assert catalogue.count() == len(catalogue.plates()) == 1
            assert catalogue.path is not None


def test_the_totals_are_those_of_the_tables(home: Path, plates: list[Path]) -> None:
    """Plates that are read, read again, gone or all read anew are told as the tables have them."""

    def is_told(catalogue: Catalogue) -> bool:
        counts = {table: next(catalogue.few(f"SELECT count(*) FROM {table}"))[0] for table in BY_PATH}
        [(_, text, _)] = catalogue.few("SELECT * FROM meta WHERE key = ?", (row_totals.KEY,))
        return row_totals.TOTALS.decode(text) == counts and counts["stages"] > 0

    with Catalogue(home) as catalogue:
        catalogue.check()
        assert is_told(catalogue)
        whole, old = plates[0].read_bytes(), catalogue.count()
        plates[0].write_bytes(whole[: whole.rindex(b"\n", 0, -1) + 1])
        plates[1].unlink()
        for path in plates[-3:]:
            path.write_bytes(b"")
        catalogue.check()
        assert is_told(catalogue) and catalogue.count() == old - 1
        catalogue.rebuild()
        assert is_told(catalogue) and catalogue.count() == old - 1


def test_a_catalogue_without_its_totals_is_filled_anew(home: Path, sound: bytes) -> None:
    """Nothing told is nothing there: what the tables hold is then not believed."""
    damage.changed_by_sql(home, f"DELETE FROM meta WHERE key = '{row_totals.KEY}'")
    assert asked(home, "a count", False) == FEW
    with Catalogue(home) as catalogue:
        assert len(list(catalogue.few("SELECT * FROM meta WHERE key = ?", (row_totals.KEY,)))) == 1


def test_nothing_is_told_of_other_tables(tmp_path: Path) -> None:
    """Only rows of plates are counted; the files and the folders have their own comparison."""
    db = sqlite3.connect(tmp_path / "none")
    row_totals.check(db, ("files", "folders", "meta"))
    with pytest.raises(sqlite3.OperationalError):
        row_totals.check(db, ("plates",))
    db.close()
