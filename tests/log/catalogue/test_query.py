"""Every filter applies to plates and to their stages alike."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query

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
