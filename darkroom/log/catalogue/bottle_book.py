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
from darkroom.solutions.care import Due, due_of, in_order
from darkroom.solutions.joining import NotKnown
from darkroom.solutions.uses import Use

if TYPE_CHECKING:
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
    by_hand_too: bool = False,
    progress: Progress | None = None,
    helpers: int = 1,
) -> BottleBook:
    """Return what is known of the bottles in `home` at the instant `now`. Raises nothing.

    `recipes` are those at hand by the name of their file. For a thread of its own: the plates come from the
    catalogue, as `judged_plates` has them; `by_hand_too`, `progress` and `helpers` are its own.
    """
    try:
        shelf = read_shelf(home)
        uses: dict[str, tuple[Use, ...]] = {bottle: () for bottle in shelf.bottles}
        return BottleBook(
            shelf=shelf,
            uses=uses,
            dues=all_dues(shelf, recipes, uses, now),
            problems=shelf.problems,
        )
    except Exception as error:  # whatever is wrong with the book, the plate on the bench goes on
        return BottleBook(trouble=f"the bottles cannot be looked at: {error}")


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
