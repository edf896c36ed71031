"""Which fixer cleared a plate, and how many plates it had: the facts behind clearing times."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec

from darkroom.solutions.bottle import Bottle
from darkroom.solutions.finding import day_made
from darkroom.solutions.joining import PlateUse, join
from darkroom.solutions.recipe import name_key


class FixFacts(msgspec.Struct, frozen=True, gc=False):
    """A stage that ends cleared, with its plate's fixer; struck or not.

    `fixer` is its name, `bottle` the id of the bottle where the journal or the book tells it.
    """

    path: str
    plate: str
    stage: str
    fixer: str | None
    cleared: float | None
    bottle: str | None = None


class Fixers:
    """Which bottle fixed a plate, from what the plates say they used and from the book of bottles."""

    def __init__(self, plate_uses: Sequence[PlateUse], bottles: Mapping[str, Bottle]) -> None:
        joined = join(plate_uses, bottles.values())
        self._used: dict[tuple[str, str], tuple[str | None, str | None]] = {
            (use.plate, use.stage): (use.bottle, use.name) for use in plate_uses
        }
        names = _names(bottles.values())
        for bottle, uses in joined.uses.items():
            self._used |= {(use.plate, use.stage): (bottle, names[bottle]) for use in uses}
        self._plates = {plate for plate, _ in self._used}

    def named(self, rows: Iterable[FixFacts]) -> list[FixFacts]:
        """Return stages in a fixer, each with its bottle's id and name.

        Of a plate that names bottles by their roles, a stage whose bottle it does not name has none: a second
        fixer is not the first.
        """
        named = []
        for row in rows:
            if row.plate in self._plates:
                bottle, name = self._used.get((row.plate, row.stage), (None, None))
                named.append(msgspec.structs.replace(row, bottle=bottle, fixer=name or bottle))
            else:
                named.append(row)
        return named


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


def fixer_counts(fixed: Iterable[FixFacts]) -> Iterator[tuple[FixFacts, int]]:
    """Yield each stage in a fixer, and how many plates that fixer had, this one counted.

    A plate that was in it twice counts once.
    """
    counted: dict[tuple[str | None, str | None], set[str]] = {}
    for row in fixed:
        had = counted.setdefault(fixer_key(row), set())
        had.add(row.path)
        yield row, len(had)


def fixer_key(row: FixFacts) -> tuple[str | None, str | None]:
    """Return what tells one fixer from another: the bottle's id, without one the name."""
    return (row.bottle, None) if row.bottle is not None else (None, row.fixer)
