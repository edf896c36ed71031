"""Clearing times by the bottle that fixed a plate."""

from __future__ import annotations

from pathlib import Path

import msgspec

from darkroom.log.bottles.files import append
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.trends.fixer_counts import fixer_counts
from darkroom.log.trends.fixers import Fixers, FixFacts
from darkroom.log.trends.reading import trend_rows
from darkroom.log.trends.trends import OverPlates, trends
from darkroom.solutions import events as ev
from darkroom.solutions.plate_use import PlateUse
from tests.kit import season
from tests.kit.bottles import time_text
from tests.kit.put_bottle import APRIL_1, put_bottle

DAY = 86400.0


def over_plates(home: Path) -> tuple[OverPlates, ...]:
    """Return the trends of the fixers of a log."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        return trends(trend_rows(catalogue, Query())).over_plates


def named_by(uses: list[PlateUse], rows: list[FixFacts]) -> list[FixFacts]:
    """Return stages in a fixer with the bottles that their plates used, by no book."""
    fixers = Fixers({})
    named = []
    for row in rows:
        used = fixers.used(use for use in uses if use.plate == row.plate)
        bottle, fixer = fixers.of_stage(used, row.stage, row.fixer)
        named.append(msgspec.structs.replace(row, bottle=bottle, fixer=fixer))
    return named


def test_two_bottles_of_one_name_are_two_fixers(tmp_path: Path) -> None:
    """All plates name F; the book has two of that name, the first discarded when the second came."""
    season.write(tmp_path, 100, bottles=lambda number: {"fixer": "F"})
    (one,) = over_plates(tmp_path)
    assert (one.fixer, one.bottle) == ("F", None)
    middle = APRIL_1 + 100 * DAY
    put_bottle(tmp_path, "f1", "F")
    put_bottle(tmp_path, "f2", "F", made=middle)
    append(tmp_path, "f1", "b", lambda n: [ev.Discarded(n=n, at=time_text(middle), up=None)])
    first, second = over_plates(tmp_path)
    assert (first.bottle, second.bottle) == ("f1", "f2")
    assert (first.fixer, second.fixer) == ("F, made 31 Mar 2026", "F, made 10 Jul 2026")
    assert len(first.points) + len(second.points) == len(one.points)
    assert second.points[0][0] == 1


def test_ids_without_a_book_tell_bottles_apart() -> None:
    """Two ids under one name are two, though nobody has the book."""
    uses = [
        PlateUse("p1", 1, "fixer", "fix", 1.0, "f1", "F"),
        PlateUse("p2", 2, "fixer", "fix", 2.0, "f2", "F"),
        PlateUse("p3", 3, "fixer", "fix", 3.0, None, "F"),
    ]
    rows = [FixFacts(plate, plate, "fix", "F", 30.0) for plate in ("p1", "p2", "p3", "p4")]
    named = named_by(uses, rows)
    assert [(row.bottle, row.fixer) for row in named] == [("f1", "F"), ("f2", "F"), (None, "F"), (None, "F")]
    assert [count for _, count in fixer_counts(named)] == [1, 1, 1, 2]


def test_a_second_fixer_that_nobody_named_is_not_the_first() -> None:
    """A plate names its first fixer: the second bath is not named. In one twice it counts once."""
    uses = [PlateUse("p1", 1, "fixer", "fix", 1.0, "f1", "F")]
    rows = [FixFacts("p1", "p1", "fix", "F", 30.0), FixFacts("p1", "p1", "again", "F", 9.0)]
    assert [row.fixer for row in named_by(uses, rows)] == ["F", None]
    assert [count for _, count in fixer_counts(rows)] == [1, 1]


def test_a_plate_that_is_not_asked_for_counts_once_for_its_fixer() -> None:
    """It was in the fixer twice; the next plate is the second that this fixer had."""
    rows = [
        FixFacts("p1", "p1", "fix", "F", 30.0, asked=False),
        FixFacts("p1", "p1", "again", "F", 9.0, asked=False),
        FixFacts("p2", "p2", "fix", "F", 35.0),
    ]
    assert [count for _, count in fixer_counts(rows)] == [1, 1, 2]
