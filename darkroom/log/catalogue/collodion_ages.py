"""The age of the collodion of judged plates whose bottle is known: from the day on which it was made.

A plate's journal names the bottle, the book says when it was made; neither alone tells the age. So it is
told at the question, and a bottle that is entered or corrected later changes what is learned.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom.exposure.conditions import age_of
from darkroom.exposure.judged import JudgedPlate
from darkroom.log.bottles.files import Shelf, read_shelf
from darkroom.solutions.finding import date_made
from darkroom.solutions.joining import PlateUse, join

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue

ROLE = "collodion"


def with_ages(
    catalogue: Catalogue, judged: Iterable[JudgedPlate], shelf: Shelf | None = None
) -> list[JudgedPlate]:
    """Return judged plates, with the age of the collodion in days where its bottle is known.

    A plate whose bottle is not known keeps the age that its collodion's name tells. `shelf` is the book of
    bottles where the caller has read it.
    """
    plates = list(judged)
    shelf = shelf or read_shelf(catalogue.home)
    bottles = [bottle for bottle in shelf.bottles.values() if bottle.what == ROLE]
    if not bottles or not plates:
        return plates
    joined = join(catalogue.plate_uses((ROLE,)), bottles)
    made = {
        use.plate: date_made(shelf.bottles[bottle]) for bottle, uses in joined.uses.items() for use in uses
    }
    return [_with_age(plate, made.get(plate.plate)) for plate in plates]


def _with_age(plate: JudgedPlate, made: str | None) -> JudgedPlate:
    age = age_of(made, plate.conditions.day)
    if age is None:
        return plate
    return msgspec.structs.replace(plate, conditions=msgspec.structs.replace(plate.conditions, age=age))


def date_by_name(home: Path, name: str | None, instant: float) -> str | None:
    """Return the date on which the collodion of this name was made, None where the book does not tell which.

    It is the one bottle of that name that is alive at an instant, seconds since the epoch.
    """
    if not name:
        return None
    shelf = read_shelf(home)
    use = PlateUse("", 0, ROLE, "", instant, None, name)
    joined = join([use], [bottle for bottle in shelf.bottles.values() if bottle.what == ROLE])
    bottle = next((bottle for bottle, uses in joined.uses.items() if uses), None)
    return date_made(shelf.bottles[bottle]) or None if bottle is not None else None
