"""Which fixer cleared a plate, and how many plates it had: the facts behind clearing times."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

import msgspec

from darkroom.solutions.bottle import Bottle
from darkroom.solutions.finding import day_made
from darkroom.solutions.joining import BottlesByName
from darkroom.solutions.plate_use import PlateUse
from darkroom.solutions.recipe import name_key


class FixFacts(msgspec.Struct, frozen=True, gc=False):
    """A stage that ends cleared, with its plate's fixer; struck or not.

    `path` tells its plate from others, as in `PlateFacts`. `fixer` is its name, `bottle` the id of the bottle
    where the journal or the book tells it. `asked` says whether its plate is asked for.
    """

    path: str | int
    plate: str
    stage: str
    fixer: str | None
    cleared: float | None
    bottle: str | None = None
    asked: bool = True


Used = Mapping[str, tuple[str | None, str | None]]
"""{stage: (the id of the bottle that fixed in it, the fixer's name)}."""


class Fixers:
    """Which bottle fixed a plate, from what the plate says it used and from the book of bottles."""

    def __init__(self, bottles: Mapping[str, Bottle]) -> None:
        self._book = BottlesByName(bottles.values())
        self._names = _names(bottles.values())

    def used(self, plate_uses: Iterable[PlateUse]) -> Used:
        """Return what fixed one plate, from its uses of fixers; nothing of one that names none."""
        used = {}
        for use in plate_uses:
            bottle = self._book.find(use)[0] if self._names else None
            used[use.stage] = (use.bottle, use.name) if bottle is None else (bottle, self._names[bottle])
        return used

    @staticmethod
    def of_stage(used: Used, stage: str, typed: str | None) -> tuple[str | None, str | None]:
        """Return (bottle id, name) of the fixer of a stage; `typed` is what its plate calls its fixer.

        Of a plate that names bottles by their roles, a stage whose bottle it does not name has none: a second
        fixer is not the first.
        """
        if not used:
            return None, typed
        bottle, name = used.get(stage, (None, None))
        return bottle, name or bottle


def _names(bottles: Iterable[Bottle]) -> dict[str, str]:
    """Return {id: name}; bottles of one name are told by the day on which they were made."""
    known = list(bottles)
    counts = Counter((bottle.what, name_key(bottle.name)) for bottle in known)
    return {
        bottle.id: bottle.name
        if counts[bottle.what, name_key(bottle.name)] == 1
        else f"{bottle.name}, made {day_made(bottle)}"
        for bottle in known
    }
