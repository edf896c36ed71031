"""What is packed of a plate for trends: the same as its rows say, and nothing false after damage."""

from __future__ import annotations

from math import isnan
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.log.catalogue import trend_plates
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.row_sums import row_sum
from darkroom.log.catalogue.rows import PlateRows
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.trends.facts import PlateFacts
from darkroom.log.trends.reading import trend_rows
from tests.kit import damage, season

PLATES = 150


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a log of plates with slips, its catalogue filled."""
    home = tmp_path_factory.mktemp("log")
    season.write(home, PLATES, hands=True)
    with Catalogue(home) as catalogue:
        catalogue.check()
    return home


def test_the_columns_are_those_of_trends() -> None:
    """The catalogue packs what a plate of the trends holds, in its order."""
    assert PlateFacts.__struct_fields__ == ("path", *trend_plates.FACTS)


def test_a_packed_plate_says_what_its_rows_say(log: Path) -> None:
    """Of each plate of a season the packed value is that of its rows in the other tables."""
    seen = rooms = 0
    with Catalogue(log) as catalogue:
        plates = {row["path"]: row for row in catalogue.plates()}
        stages: dict[str, list[dict[str, Any]]] = {}
        for stage in catalogue.stages():
            stages.setdefault(stage["path"], []).append(stage)
        packed = dict(catalogue.select("SELECT path, packed FROM trend_plates"))
        assert packed.keys() == plates.keys() and len(plates) == PLATES
        for path, value in packed.items():
            plate = trend_plates.PLATE.decode(value)
            assert plate.facts == tuple(plates[path][name] for name in trend_plates.FACTS)
            assert plate.faults == tuple(fault.name for fault in plates[path]["faults"])
            steps = trend_plates.STEPS.decode(plate.steps)
            struck = [
                stage
                for stage in stages.get(path, ())
                if stage["how"] in ("strike", "short")
                and stage["ends"] != "exposure"
                and (stage["cleared"] if stage["ends"] == "cleared" else stage["seconds"])
            ]
            assert [(name, source) for name, _, source, _ in steps] == [
                (stage["stage"], stage["source"]) for stage in struck
            ]
            numbers = iter(plate.times)
            for (_, clears, _, read), stage in zip(steps, struck, strict=True):
                assert next(numbers) == (stage["cleared"] if clears else stage["seconds"])
                assert read == (stage["celsius"] is not None and stage["origin"] != "assumed")
                if read:
                    assert next(numbers) == stage["celsius"]
                    law = next(numbers)
                    assert law == stage["law"] or (isnan(law) and (clears or stage["law"] is None))
            assert next(numbers, None) is None
            assert [stage for stage, _ in plate.cleared] == [
                stage["stage"]
                for stage in stages.get(path, ())
                if stage["ends"] == "cleared" and stage["how"] != "skipped"
            ]
            where = "path = ? AND source = 'room' AND origin != 'assumed'"
            ((room,),) = catalogue.select(f"SELECT avg(celsius) FROM readings WHERE {where}", [path])
            assert plate.room == (None if room is None else pytest.approx(room, rel=1e-12))
            uses = "SELECT role, stage, instant, bottle, name FROM uses WHERE path = ? ORDER BY position"
            assert plate.uses == tuple(catalogue.select(uses, [path]))
            judged = dict(catalogue.select("SELECT path, judged FROM exposures WHERE path = ?", [path]))
            assert plate.judged == judged.get(path)
            seen, rooms = seen + len(steps), rooms + (room is not None)
    assert seen > PLATES and 0 < rooms < PLATES  # a season has all of it


@pytest.mark.parametrize(
    ("stage", "ends", "how", "unseen"),
    [
        ("coat", "by_eye", "unseen", True), ("coat", "by_eye", "strike", False),
        ("coat", "by_eye", None, False), ("coat", "exposure", "unseen", False),
        ("coat", None, "unseen", False), ("pour", "by_eye", "unseen", False),
    ],
)  # fmt: skip
def test_a_wet_time_whose_beginning_nobody_saw(
    stage: str, ends: str | None, how: str | None, unseen: bool
) -> None:
    """It began at the end of the stage that the process names, and no strike ended that."""
    row = (1, stage, ends, None, 30.0, how, None, None, None, None, None, None)
    process = '{"name":"Trial","wet_window":{"from":"coat"}}'
    rows = PlateRows(plate=dict.fromkeys(trend_plates.FACTS), stages=[row], process=("0", "Trial", process))
    assert trend_plates.PLATE.decode(trend_plates.packed(rows)).unseen is unseen


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE trend_plates SET packed = CAST(packed || x'00' AS BLOB) WHERE path = ?",
        "UPDATE trend_plates SET shelf = 'rehearsals' WHERE path = ?",
        "DELETE FROM trend_plates WHERE path = ?",
        "DELETE FROM plates WHERE path = ?",
    ],
)
@pytest.mark.parametrize("query", [Query(), Query(words="e", temperature={"room": (0.0, 40.0)})])
def test_damage_is_noticed_as_trends_read(home: Path, plates: list[Path], change: str, query: Query) -> None:
    """A plate that another program changed, put away or deleted after the check: the trends stay the same."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        before = [msgspec.structs.astuple(plate) for plate in trend_rows(catalogue, query).plates]
        assert before
        for path in plates[3:6]:
            damage.changed_by_sql(home, change.replace("?", f"'{path}'"))
        assert [msgspec.structs.astuple(plate) for plate in trend_rows(catalogue, query).plates] == before


def test_what_a_query_compares_is_looked_at(home: Path, plates: list[Path]) -> None:
    """A changed word, fault or reading does not choose other plates."""
    queries = [Query(words="e"), Query(fault="o"), Query(temperature={"room": (0.0, 40.0)})]
    with Catalogue(home) as catalogue:
        catalogue.check()
        for query, table, column in zip(
            queries, ("plates", "faults", "readings"), ("words", "name", "celsius"), strict=True
        ):
            before = [plate.plate for plate in trend_rows(catalogue, query).plates]
            damage.changed_by_sql(home, f"UPDATE {table} SET {column} = 'x'")
            assert [plate.plate for plate in trend_rows(catalogue, query).plates] == before


def test_a_packed_value_stands_under_its_sum(log: Path) -> None:
    """The sum of its row covers the packed bytes: with any one of them changed it is another."""
    with Catalogue(log) as catalogue:
        path, shelf, value, total = next(catalogue.few("SELECT * FROM trend_plates"))
    assert row_sum((path, shelf, value)) == total
    for at in range(0, len(value), 7):
        assert row_sum((path, shelf, damage.flipped(value, at))) != total
    assert (log / NAME).exists()


ODD = st.one_of(
    st.none(),
    st.integers(-(2**70), 2**70),
    st.floats(),
    st.text(st.characters(codec=None), max_size=5),
)


@given(st.lists(ODD, min_size=len(trend_plates.FACTS), max_size=len(trend_plates.FACTS)), st.text(max_size=5))
def test_odd_values_are_kept_as_in_the_tables(values: list[Any], name: str) -> None:
    """A number that is none, one beyond 64 bits and half a sign come back as from a row of the tables."""
    facts = dict(zip(trend_plates.FACTS, values, strict=True))
    rows = PlateRows(plate=facts, faults=(JudgedFault(name + "\udc80"),))
    value = trend_plates.packed(rows)
    plate = trend_plates.PLATE.decode(trend_plates.storable(value))
    expected = tuple(
        None if isinstance(one, float) and isnan(one) else trend_plates.kept_value(one) for one in values
    )
    assert plate.facts == expected
    assert plate.faults == (name.encode("utf-8", "replace").decode() + "?",)
