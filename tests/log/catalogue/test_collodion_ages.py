"""The age of the collodion of judged plates, from the book of bottles."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.catalogue.collodion_ages import date_by_name
from darkroom.log.catalogue.judged_plates import judged_plates
from tests.kit import season
from tests.kit.log_commands import Capture, run
from tests.kit.put_bottle import APRIL_1, put_bottle

DAY = 86400.0


def ages(home: Path) -> dict[str, float | None]:
    """Return {plate: age of its collodion in days}."""
    return {plate.plate: plate.conditions.age for plate in judged_plates(home).plates}


def days_since_april(plate: JudgedPlate) -> float:
    """Return the days from 1 April to the plate's working day."""
    return float((date.fromisoformat(plate.conditions.day) - date(2026, 4, 1)).days)


def test_the_age_is_from_the_making_of_the_bottle(tmp_path: Path) -> None:
    """A collodion whose name has no date has no age; entered in the book, made on 1 April, it has one."""
    season.write(tmp_path, 80, bottles=lambda number: {"collodion": "C-4"})
    assert set(ages(tmp_path).values()) == {None}
    put_bottle(tmp_path, "c4", "C-4", "collodion", APRIL_1 - 3600.0)
    plates = judged_plates(tmp_path).plates
    assert len(plates) > 20
    assert [plate.conditions.age for plate in plates] == [days_since_april(plate) for plate in plates]


@pytest.mark.parametrize(("name", "what"), [("C-5", "collodion"), ("C-4", "bath")])
def test_another_bottle_tells_nothing(tmp_path: Path, name: str, what: str) -> None:
    """A bottle of another name or content is not the plate's collodion."""
    season.write(tmp_path, 40, bottles=lambda number: {"collodion": "C-4"})
    put_bottle(tmp_path, "x", name, what)
    assert set(ages(tmp_path).values()) == {None}


def test_the_book_wins_over_a_date_in_the_name(tmp_path: Path) -> None:
    """The name says when somebody wrote the label, the book when it was made."""
    season.write(tmp_path, 40, bottles=lambda number: {"collodion": "C-4 2026-03-01"})
    by_name = ages(tmp_path)
    put_bottle(tmp_path, "c4", "C-4 2026-03-01", "collodion", APRIL_1 - 3600.0)
    by_book = ages(tmp_path)
    assert {plate: (age or 0) - 31 for plate, age in by_name.items()} == by_book


def test_the_plate_to_come_has_the_age_of_the_only_bottle_of_its_name(tmp_path: Path) -> None:
    """Of two bottles of one name nobody knows which is meant; before it was made there is none."""
    assert date_by_name(tmp_path, "C-4", APRIL_1) is None
    put_bottle(tmp_path, "c4", "C-4", "collodion", APRIL_1 - 3600.0)
    assert date_by_name(tmp_path, " c-4", APRIL_1) == "2026-04-01"
    assert date_by_name(tmp_path, "C-4", APRIL_1 - 7200.0) is None
    assert date_by_name(tmp_path, None, APRIL_1) is None
    put_bottle(tmp_path, "c5", "C-4", "collodion", APRIL_1 - 3600.0)
    assert date_by_name(tmp_path, "C-4", APRIL_1) is None


def test_exposure_learn_knows_the_age_from_the_book(home: Path, capsys: Capture) -> None:
    """The command's proposal is for the collodion as old as the book says, not for one of unknown age."""
    season.write(home, 30, bottles=lambda number: {"collodion": "C-4"})
    command = ("exposure", "learn", "--at", "2026-10-20T12:00:00+02:00")
    without = run(capsys, *command)[1]
    put_bottle(home, "c4", "C-4", "collodion", APRIL_1 - 3600.0)
    with_book = run(capsys, *command)[1]
    assert "the collodion's age" in without
    assert "the collodion's age" not in with_book
