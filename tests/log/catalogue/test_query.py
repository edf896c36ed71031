"""Every filter applies to plates and to their stages alike."""

from __future__ import annotations

from pathlib import Path

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
