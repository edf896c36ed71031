"""Every filter applies to plates and to their stages alike."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.plate_line import IN_A_LINE, line
from darkroom.log.catalogue.query import Query
from darkroom.log.catalogue.schema import FOR_READY_LINES
from tests.kit.journals import framed

QUESTIONS = [
    Query(words="fern"),
    Query(process="tin"),
    Query(fault="fog"),
    Query(stars=(3, 5)),
    Query(since="2026-04-05"),
    Query(until="2026-04-05"),
    Query(temperature={"bath": (0.0, 40.0)}),
    Query(state="done"),
]


@pytest.mark.parametrize("query", QUESTIONS, ids=lambda query: str(query.where()[0])[14:40])
def test_plates_and_stages_answer_the_same_question(home: Path, plates: list[Path], query: Query) -> None:
    """The stages of a query are exactly those of the plates of the same query."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        answering = {row["plate"] for row in catalogue.plates(query)}
        assert 0 < len(answering) < 61
        assert {row["plate"] for row in catalogue.stages(query)} == answering


@pytest.mark.parametrize("order", ["newest", "oldest", "stars", "process"])
@pytest.mark.parametrize("query", [Query(), *QUESTIONS], ids=lambda query: str(query.where()[0])[14:40])
def test_a_few_columns_are_those_of_the_whole_rows(
    home: Path, plates: list[Path], query: Query, order: str
) -> None:
    """What `lines` reads is what `plates` reads, in the same order, with the same faults."""
    columns = ("plate", "number", "stars", "how")
    with Catalogue(home) as catalogue:
        catalogue.check()
        query = msgspec.structs.replace(query, order=order)
        whole = catalogue.plates(query)
        assert any(row["faults"] for row in whole)
        kept = ("path", *columns, "faults")
        assert catalogue.lines(query, columns) == [{name: row[name] for name in kept} for row in whole]


@pytest.mark.parametrize("rehearsals", [False, True])
@pytest.mark.parametrize("order", ["newest", "oldest"])
def test_ready_lines_are_those_made_of_the_rows(
    home: Path, plates: list[Path], order: str, rehearsals: bool
) -> None:
    """Without a filter the lines are taken as they are kept: the same, in the same order, as from the rows.

    Also of a plate that is on the bench, of one without its first line, of numbers and signs that no table
    keeps, and where two folders hold journals of one name.
    """
    start = json.loads(plates[0].read_bytes().splitlines()[0])
    folder = home / "plates" / "2026" / "2026-12-30"
    folder.mkdir(parents=True)
    odd = {"number": 1 << 63, "subject": "a\tb", "plate": "20261230-080000-aaaaaa"}
    kept = {name: value for name, value in {**start, **odd}.items() if name != "sum"}
    (folder / "20261230-080000-aaaaaa.jsonl").write_bytes(framed(json.dumps(kept, ensure_ascii=False)[1:-1]))
    (folder / "20261230-090000-bbbbbb.jsonl").write_bytes(b"no line at all\n")
    (folder / plates[3].name).write_bytes(plates[3].read_bytes())
    aside = home / "rehearsals" / "2026" / "2026-12-30"
    aside.mkdir(parents=True)
    (aside / "20261230-100000-cccccc.jsonl").write_bytes(plates[4].read_bytes())
    with Catalogue(home) as catalogue:
        catalogue.check()
        query = Query(order=order, rehearsals=rehearsals)
        made = list(map(line, catalogue.lines(query, IN_A_LINE)))
        assert query.leaves_all and catalogue.line_texts(query) == made
        assert len(made) == (1 if rehearsals else len(plates) + 3)


@pytest.mark.parametrize("query", [*QUESTIONS, Query(order="stars"), Query(order="process")])
def test_no_line_is_ready_for_a_filter(home: Path, plates: list[Path], query: Query) -> None:
    """A filter, or another order than that of time, makes its lines of the rows."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        catalogue._db.execute("UPDATE listed SET line = 'not asked'")
        assert not query.leaves_all
        assert catalogue.line_texts(query) == list(map(line, catalogue.lines(query, IN_A_LINE)))


@pytest.mark.parametrize(
    "damage", ["UPDATE listed SET line = 'x' WHERE plate LIKE '%1-%'", "DELETE FROM listed"]
)
def test_a_damaged_line_is_never_printed(home: Path, plates: list[Path], damage: str) -> None:
    """A line that is no longer what it was is not printed: the catalogue is filled anew."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        right = catalogue.line_texts(Query())
        catalogue._db.execute(damage)
    with Catalogue(home) as catalogue:
        catalogue.check_within_a_minute(tables=FOR_READY_LINES)
        assert catalogue.line_texts(Query()) == right


def test_a_damaged_row_is_seen_before_its_columns_are_read(home: Path, plates: list[Path]) -> None:
    """A row that is no longer what it was is never printed: the catalogue is filled anew."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        right = catalogue.lines(Query(), ("plate", "stars"))
        catalogue._db.execute("UPDATE plates SET stars = 9")
    with Catalogue(home) as catalogue:
        assert all(row["stars"] != 9 for row in catalogue.lines(Query(), ("plate", "stars")))
        catalogue.check()
        assert catalogue.lines(Query(), ("plate", "stars")) == right
