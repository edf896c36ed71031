"""Reads the book of bottles in a thread, for the page that asks; the newest question is answered."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom.devices.clock import stamp
from darkroom.process.text.plain_text import plain
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_account import Account, account
from darkroom.solutions.care import Due, recipe_of
from darkroom.solutions.contents import substance_of
from darkroom.solutions.joining import NotKnown
from darkroom.solutions.recipe import name_key
from darkroom.solutions.uses import Use

if TYPE_CHECKING:
    from darkroom.log.catalogue.bottle_book import BottleBook
    from darkroom.solutions.recipe import Recipe

NO_REHEARSAL = "a rehearsal enters nothing into the book of bottles"
HELD = 0.6
"""A key that comes again sooner, in seconds, is held down: it answers nothing."""
READ_EVERY = 60.0
"""The book is read anew this often, in seconds: plates end meanwhile, and cares come due."""


class Known(msgspec.Struct, frozen=True, kw_only=True):
    """What was read at the instant `now`, in seconds since the epoch; `problems` are lines of words.

    It is not `whole` while the plates are not read: nothing is known of them then, nor of what is due.
    """

    bottles: Mapping[str, Bottle]
    accounts: Mapping[str, Account]
    uses: Mapping[str, tuple[Use, ...]]
    dues: tuple[Due, ...]
    unknown: tuple[NotKnown, ...]
    recipes: Mapping[str, Recipe]
    problems: tuple[str, ...]
    now: float
    whole: bool = True

    def uses_of(self, bottle: str) -> tuple[Use, ...]:
        """Return the plates that used a bottle."""
        return self.uses.get(bottle, ())

    def dues_of(self, bottle: str) -> tuple[Due, ...]:
        """Return the cares of a bottle, what is due first."""
        return tuple(one for one in self.dues if one.bottle == bottle)

    def unknown_of(self, bottle: Bottle) -> tuple[NotKnown, ...]:
        """Return the plates that name a bottle so called, and which one is not known."""
        return tuple(one for one in self.unknown if name_key(one.name) == name_key(bottle.name))

    def recipe_of(self, bottle: Bottle) -> Recipe | None:
        """Return the recipe whose cares a bottle has, or None."""
        return recipe_of(bottle, self.recipes)[0]

    def substance_of(self, bottle: Bottle) -> str | None:
        """Return the substance whose strength a bottle's is, or None."""
        recipe = self.recipe_of(bottle)
        return substance_of(bottle, None if recipe is None else recipe.of)

    def names(self) -> dict[str, str]:
        """Return {id: name} of all bottles."""
        return {bottle.id: bottle.name for bottle in self.bottles.values()}


def known_from(
    book: BottleBook, recipes: Mapping[str, Recipe], wrong: list[str], now: float, *, whole: bool = True
) -> Known:
    """Return what a page shows of the book; troubles first, then the problems of files.

    It is not `whole` while the plates that used the bottles are still to be read.
    """
    problems = [book.trouble] if book.trouble else []
    problems += [str(problem) for problem in book.problems]
    problems += wrong
    return Known(
        bottles=book.shelf.bottles,
        accounts={
            key: account(bottle, recipes, book.uses.get(key, ()), now)
            for key, bottle in book.shelf.bottles.items()
        },
        uses=book.uses,
        dues=book.dues,
        unknown=book.unknown_plates,
        recipes=recipes,
        problems=tuple(plain(problem) for problem in problems),
        now=now,
        whole=whole,
    )


def local_zone(now: float) -> tzinfo:
    """Return the local zone as it is at an instant, without its changes of clock."""
    return datetime.fromisoformat(stamp(now)).tzinfo or UTC


class BookAsker:
    """Reads the book as often as it is asked; a question that is overtaken is never answered.

    The first time it answers twice: at once with the bottles, then with the plates that used them.

    `deliver` runs something on the screen's thread, where `answered` is called with what is known.
    """

    def __init__(
        self,
        home: Path,
        deliver: Callable[[Callable[[], None]], None],
        answered: Callable[[Known], None],
    ) -> None:
        self.home = home
        self._deliver, self._answered = deliver, answered
        self._changed = threading.Condition()
        self._asked = self._closed = False
        self._thread: threading.Thread | None = None
        self._recipes: tuple[dict[str, Recipe], list[str]] | None = None

    def ask(self) -> None:
        """Ask; returns at once."""
        with self._changed:
            self._asked = True
            self._changed.notify()
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name="bottles", daemon=True)
            self._thread.start()

    def close(self) -> None:
        """Let the thread end; nothing is delivered any more."""
        with self._changed:
            self._closed = True
            self._changed.notify()

    def _run(self) -> None:
        while True:
            with self._changed:
                while not self._asked and not self._closed:
                    self._changed.wait()
                if self._closed:
                    return
                self._asked = False
            if self._recipes is None:
                self._tell(self._read(_shelf_alone, whole=False))
            known = self._read(_book, whole=True)
            if not self._asked and not self._closed:
                self._tell(known)

    def _tell(self, known: Known) -> None:
        self._deliver(lambda: None if self._closed else self._answered(known))

    def _read(self, read: Callable[[Path, Mapping[str, Recipe], float], BottleBook], *, whole: bool) -> Known:
        from darkroom.log.catalogue.bottle_book import BottleBook

        now = time.time()
        try:
            if self._recipes is None:
                from darkroom.resources import checked_recipes

                self._recipes = checked_recipes(self.home)
            recipes, wrong = self._recipes
            return known_from(read(self.home, recipes, now), recipes, wrong, now, whole=whole)
        except Exception as error:  # a page that cannot read says so, and the bench goes on
            trouble = f"the bottles cannot be looked at: {error}"
            return known_from(BottleBook(trouble=trouble), {}, [], now, whole=True)


def _shelf_alone(home: Path, recipes: Mapping[str, Recipe], now: float) -> BottleBook:
    """Return the book without the plates: the log may take longer."""
    from darkroom.log.bottles.files import read_shelf
    from darkroom.log.catalogue.bottle_book import BottleBook

    shelf = read_shelf(home)
    return BottleBook(shelf=shelf, problems=shelf.problems)


def _book(home: Path, recipes: Mapping[str, Recipe], now: float) -> BottleBook:
    from darkroom.log.catalogue import bottle_book
    from darkroom.settings.kit import load_right, path_in

    kit, _ = load_right(path_in(home))  # the home form says what is wrong with it
    return bottle_book.bottle_book(home, recipes, now, sizes=bottle_book.sizes_of(kit))
