"""The book of bottles for the bench: read in a thread, chosen from on the home form and in the menu.

Nothing waits for it: before the first answer no bottle is known, and what was chosen before stands.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Collection, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct, field

from darkroom.bench import bottle_change
from darkroom.bench.all_plates import NEW
from darkroom.bench.bottles import bottle_at
from darkroom.bench.bottles_at_hand import BottleAtHand, serving
from darkroom.bench.state import PlateState
from darkroom.process.uses import bottle_role
from darkroom.screens.memory import Memory
from darkroom.screens.notices import Notices
from darkroom.session import bottle_choice
from darkroom.session.plate_form import PlateForm
from darkroom.session.session import Session

if TYPE_CHECKING:
    from darkroom.solutions.care import Due
    from darkroom.solutions.uses import Use

Deliver = Callable[[Callable[[], None]], None]


class Known(Struct, frozen=True, eq=False):
    """What the book said: the bottles at hand, {bottle: plates that used it}, what is due now and in a day.

    `told` is {bottle: its strength, plates and first care due, in words}. It, `uses` and what is due are
    empty while the plates are not read. `trouble` says what could not be read; `is_there` is false where
    that is the whole book.
    """

    at_hand: tuple[BottleAtHand, ...] = ()
    uses: Mapping[str, tuple[Use, ...]] = field(default_factory=dict)
    dues: tuple[Due, ...] = ()
    dues_tomorrow: tuple[Due, ...] = ()
    told: Mapping[str, str] = field(default_factory=dict)
    trouble: str | None = None
    is_there: bool = True


class BottlesAtHand:
    """Knows what was read last; the bench, and the form of the next plate, get it as values."""

    def __init__(self, home: Path, session: Session, memory: Memory, notices: Notices) -> None:
        """Read nothing yet."""
        self.home, self._session, self._memory, self._notices = home, session, memory, notices
        self.known, self.is_read = Known(), False
        self._lock = threading.Lock()
        self._wanted: list[tuple[Deliver, Callable[[], None]]] = []
        self._running = False
        self._cleared: tuple[object, str | None] = None, None
        """What was asked of a clearing last, and the answer: the bench is drawn many times a second."""

    # --- reading the book -------------------------------------------------------------------------

    def ask(self, deliver: Deliver, on_read: Callable[[], None] = lambda: None) -> None:
        """Read the book; what it says is taken, and `on_read` called, on the screen's thread.

        The first time that comes twice: at once with the bottles, since the log may take longer, then with
        the plates that used them.
        """
        with self._lock:
            self._wanted.append((deliver, on_read))
            if self._running:
                return
            self._running = True
        threading.Thread(target=self._answer, name="bottles", daemon=True).start()

    def _answer(self) -> None:
        while True:
            with self._lock:
                wanted, self._wanted = self._wanted, []
                self._running = bool(wanted)
            if not wanted:
                return
            now = self._session.clock.wall()
            for read in (_read,) if self.is_read else (_read_bottles, _read):
                known = read(self.home, now)
                for deliver, on_read in wanted:
                    deliver(partial(self._tell, known, on_read))

    def _tell(self, known: Known, on_read: Callable[[], None]) -> None:
        self._take(known)
        on_read()

    def _take(self, known: Known) -> None:
        """Take what was read: to the bench, to the plate that waits for its first strike, to the form."""
        self.known, self.is_read = known, True
        self._notices.say("bottles", known.trouble)
        session, form = self._session, self._memory.form
        if known.is_there:
            session.bench = bottle_change.with_at_hand(session.bench, known.at_hand, form.no_bottles)
            bottle_choice.keep_at_hand(form, known.at_hand)
            waiting = session.bench.plates.get(NEW)
            if waiting is not None:
                bottle_choice.settle(form, known.at_hand, waiting.process)

    def collodion_made(self, form: PlateForm) -> str | None:
        """Return the date on which the collodion of a form was made, None where the book does not tell it."""
        bottles = serving(self._session.bench.bottles, bottle_choice.COLLODION, None)
        return next((bottle.made for bottle in bottles if bottle.name == form.collodion), None)

    def due_line(self, ticked: Collection[str] = ()) -> str:
        """Return what is due now in one short line, "" where nothing is but what was ticked today."""
        if not self.known.dues:
            return ""
        from darkroom.session.bottle_care import due_line

        return due_line(self.known.dues, ticked)

    def told(self, bottle: BottleAtHand) -> str:
        """Return what is told of a bottle that can be chosen, the date on which it was made last."""
        cyanide = "holds cyanide" if bottle.fixing == "cyanide" else ""
        made = f"made {bottle.made}" if bottle.made else ""
        return "; ".join(filter(None, (cyanide, self.known.told.get(bottle.id, ""), made)))

    # --- choosing ---------------------------------------------------------------------------------

    def change(self, role: str, bottle: BottleAtHand, plate: str | None = None) -> None:
        """Let the plates after this and those on the bench that are still to come to it take a bottle.

        With `plate` it is that plate's alone on the bench, see `bottle_change.with_bottle`.
        """
        bottle_choice.choose(self._memory.form, role, bottle)
        self._session.bench = bottle_change.with_bottle(self._session.bench, role, bottle, plate)

    # --- what a fixer's clearing tells ------------------------------------------------------------

    def clearing_words(self, state: PlateState) -> str | None:
        """Return what is said of a plate's clearing, None of an ordinary one or of an unknown fixer."""
        if state.cleared_at is None or state.phase != "running":
            return None
        asked = state.plate, state.cleared_at, self.known
        if self._cleared[0] != asked:
            self._cleared = asked, self._clearing_words(state, state.cleared_at)
        return self._cleared[1]

    def _clearing_words(self, state: PlateState, cleared_at: float) -> str | None:
        role = bottle_role(state.process, state.stage)
        bottle = None if role is None else bottle_at(state, role)
        uses = () if bottle is None else self.known.uses.get(bottle.id or "", ())
        if not uses:
            return None
        from darkroom.solutions import clearing

        before = [use for use in uses if use.plate != state.plate]
        if len(clearing.first_uses(before)) < clearing.FIRST:
            return None  # this plate is one of those that say what fresh is
        fresh = clearing.fresh(before, state.celsius_at_start)
        return None if fresh is None else clearing.remark(cleared_at - state.since, fresh)


def _read_bottles(home: Path, now: float) -> Known:
    """Return the bottles of the book alone. Raises nothing."""
    try:
        from darkroom.log.bottles.folders import is_there

        if not is_there(home):
            return Known()
        from darkroom.log.bottles.files import read_shelf
        from darkroom.resources import checked_recipes
        from darkroom.session.at_hand import at_hand

        bottles = list(read_shelf(home).bottles.values())
        recipes, _ = checked_recipes(home, {bottle.recipe or "" for bottle in bottles})
        return Known(at_hand=at_hand(bottles, recipes, now))
    except Exception as error:  # whatever is wrong with the book, the plate on the bench goes on
        return _unknown(error)


def _unknown(error: Exception) -> Known:
    return Known(trouble=f"the bottles cannot be looked at: {error}", is_there=False)


def _read(home: Path, now: float) -> Known:
    """Return what the book says at an instant, in seconds since the epoch. Raises nothing."""
    try:
        from darkroom.log.bottles.folders import is_there

        if not is_there(home):
            return Known()
        from darkroom.log.catalogue.bottle_book import all_dues, bottle_book, sizes_of
        from darkroom.resources import checked_recipes
        from darkroom.session.at_hand import at_hand
        from darkroom.session.bottle_care import told_apart
        from darkroom.session.bottle_told import told
        from darkroom.settings.kit import load_right, path_in
        from darkroom.solutions.bottle import DAY

        recipes, wrong = checked_recipes(home)
        kit, _ = load_right(path_in(home))  # the home form says what is wrong with it
        book = bottle_book(home, recipes, now, sizes=sizes_of(kit))
        found = at_hand(list(book.shelf.bottles.values()), recipes, now)
        tomorrow = all_dues(book.shelf, recipes, book.uses, now + DAY)
        return Known(
            at_hand=found,
            uses=book.uses,
            dues=told_apart(book.dues, found),
            dues_tomorrow=told_apart(tomorrow, found),
            told={
                bottle.id: told(book.shelf.bottles[bottle.id], recipes, book.uses.get(bottle.id, ()), now)
                for bottle in found
            },
            trouble=book.trouble or next(iter(wrong), None),
        )
    except Exception as error:  # whatever is wrong with the book, the plate on the bench goes on
        return _unknown(error)
