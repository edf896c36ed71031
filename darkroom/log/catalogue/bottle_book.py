"""What is known of the bottles: the book, the plates that used each, and what is due.

Commands and screens ask this one function. It reads the book of bottles and, for the plates, the catalogue.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom.errors import Problem
from darkroom.log.bottles.files import Shelf, read_shelf
from darkroom.log.catalogue.judged_plates import bring_up_to_date
from darkroom.solutions.care import Due, due_of, in_order
from darkroom.solutions.joining import Joined, NotKnown, join
from darkroom.solutions.plate_use import PlateUse
from darkroom.solutions.recipe import name_key
from darkroom.solutions.uses import Use

if TYPE_CHECKING:
    from darkroom.exposure.kit import Kit
    from darkroom.log.catalogue.keeping_up import Progress
    from darkroom.solutions.recipe import Recipe


class BottleBook(msgspec.Struct, frozen=True, kw_only=True):
    """What is known of the bottles.

    `uses` is {bottle id: the plates that used it, oldest first}, for every bottle of the shelf. `dues` are
    the cares of all bottles in use or ripening, what is due first. `unknown_plates` name a bottle, and which
    one is not known. `problems` are those of the book's files; `trouble` says why the plates could not be
    read, and then no plate is in here.
    """

    shelf: Shelf = Shelf()
    uses: dict[str, tuple[Use, ...]] = {}
    dues: tuple[Due, ...] = ()
    unknown_plates: tuple[NotKnown, ...] = ()
    problems: tuple[Problem, ...] = ()
    trouble: str | None = None


def bottle_book(
    home: Path,
    recipes: Mapping[str, Recipe],
    now: float,
    *,
    sizes: Mapping[str, float] | None = None,
    by_hand_too: bool = False,
    progress: Progress | None = None,
    helpers: int = 1,
) -> BottleBook:
    """Return what is known of the bottles in `home` at the instant `now`. Raises nothing.

    `recipes` are those at hand by the name of their file, `sizes` the photographer's own names of sizes, see
    `sizes_of`. For a thread of its own: the plates come from the
    catalogue, as `judged_plates` has them; `by_hand_too`, `progress` and `helpers` are its own.
    """
    try:
        shelf = read_shelf(home)
    except Exception as error:  # whatever is wrong with the book, the plate on the bench goes on
        return BottleBook(trouble=f"the bottles cannot be looked at: {error}")
    joined, trouble = Joined(uses={bottle: () for bottle in shelf.bottles}), None
    try:
        if shelf.bottles:  # without a bottle nothing is asked of the plates
            plate_uses = _plate_uses(home, by_hand_too, progress, helpers)
            joined = join(plate_uses, shelf.bottles.values(), sizes)
    except Exception as error:
        trouble = f"which plates used which bottle is not known, the log cannot be looked at: {error}"
    return BottleBook(
        shelf=shelf,
        uses=joined.uses,
        dues=all_dues(shelf, recipes, joined.uses, now),
        unknown_plates=joined.not_known,
        problems=shelf.problems,
        trouble=trouble,
    )


def _plate_uses(home: Path, by_hand_too: bool, progress: Progress | None, helpers: int) -> list[PlateUse]:
    from darkroom.log.catalogue.catalogue import Catalogue

    with Catalogue(home) as catalogue:
        bring_up_to_date(catalogue, home, by_hand_too, progress, helpers)
        return catalogue.plate_uses()


def sizes_of(kit: Kit) -> dict[str, float]:
    """Return the sizes of plates that a kit names, as `bottle_book` takes them: {name: cm²}."""
    return {name_key(plate.name): plate.width * plate.height / 100.0 for plate in kit.plates}


def all_dues(
    shelf: Shelf, recipes: Mapping[str, Recipe], uses: Mapping[str, tuple[Use, ...]], now: float
) -> tuple[Due, ...]:
    """Return the cares of all bottles in use or ripening at an instant, what is due first."""
    return in_order(
        [
            one
            for bottle in shelf.bottles.values()
            for one in due_of(bottle, recipes, uses.get(bottle.id, ()), now)
        ]
    )
