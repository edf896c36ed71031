"""The age of the collodion of judged plates whose bottle is known: from the day on which it was made.

A plate's journal names the bottle, the book says when it was made; neither alone tells the age. So it is
told at the question, and a bottle that is entered or corrected later changes what is learned.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom.exposure.conditions import age_of
from darkroom.exposure.judged import JudgedPlate
from darkroom.log.bottles.files import Shelf, read_shelf
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.finding import date_made
from darkroom.solutions.joining import BottlesByName, join
from darkroom.solutions.plate_use import PlateUse

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue

ROLE = "collodion"


class CollodionDates:
    """When the collodion of a plate was made, by the book of bottles."""

    def __init__(self, bottles: Mapping[str, Bottle]) -> None:
        of_collodion = [bottle for bottle in bottles.values() if bottle.what == ROLE]
        self._book = BottlesByName(of_collodion)
        self._made = {bottle.id: date_made(bottle) for bottle in of_collodion}

    def made(self, plate_uses: Iterable[PlateUse]) -> str | None:
        """Return the date on which the collodion of a plate was made; None where no bottle is known."""
        found = None
        if self._made:
            for use in plate_uses:
                bottle = self._book.find(use)[0] if use.role == ROLE else None
                found = found if bottle is None else self._made[bottle]
        return found

    def with_age(self, plate: JudgedPlate, plate_uses: Iterable[PlateUse]) -> JudgedPlate:
        """Return a judged plate with the age of its collodion in days where that is known by its bottle."""
        age = age_of(self.made(plate_uses), plate.conditions.day)
        if age is None:
            return plate
        return msgspec.structs.replace(plate, conditions=msgspec.structs.replace(plate.conditions, age=age))


def with_ages(
    catalogue: Catalogue, judged: Iterable[JudgedPlate], shelf: Shelf | None = None
) -> list[JudgedPlate]:
    """Return judged plates, with the age of the collodion in days where its bottle is known.

    A plate whose bottle is not known keeps the age that its collodion's name tells. `shelf` is the book of
    bottles where the caller has read it.
    """
    plates = list(judged)
    shelf = shelf or read_shelf(catalogue.home)
    if not plates or not any(bottle.what == ROLE for bottle in shelf.bottles.values()):
        return plates
    dates = CollodionDates(shelf.bottles)
    uses: dict[str, list[PlateUse]] = {}
    for use in catalogue.plate_uses((ROLE,)):
        uses.setdefault(use.plate, []).append(use)
    return [dates.with_age(plate, uses.get(plate.plate, ())) for plate in plates]


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
