"""One bottle on the screen: what it is, its life, what is due, every line of it; and what can be entered."""

from __future__ import annotations

import time

from darkroom.process.text.plain_text import plain
from darkroom.screens.bottles import bottle_rows
from darkroom.screens.bottles.asking import HELD, NO_REHEARSAL, READ_EVERY, BookAsker, Known, local_zone
from darkroom.screens.bottles.line_kinds import choices, line_choices
from darkroom.screens.bottles.short_words import below_words
from darkroom.screens.widgets.ascii_page import in_ascii
from darkroom.screens.widgets.page import Page
from darkroom.screens.widgets.rows import Row
from darkroom.solutions.bottle import Bottle


class BottleScreen(Page):
    """The bottle with the id `bottle_id`, as it is `known`; the book is read anew while the page stands."""

    def __init__(self, bottle_id: str, known: Known) -> None:
        super().__init__()
        self.bottle_id, self.known = bottle_id, known
        self.top = 0
        self.asker: BookAsker | None = None
        self._room = 1
        self._held_until = 0.0
        """The enter that saved a line and is still held down opens nothing."""
        self._entered_last = ""
        self._page_rows: tuple[object, list[Row]] = (None, [])

    @property
    def bottle(self) -> Bottle | None:
        """The bottle; None when its files are gone."""
        return self.known.bottles.get(self.bottle_id)

    def on_mount(self) -> None:
        """Ask for the book anew; the toolkit calls the one of every page too."""
        self.asker = BookAsker(self.tool.services.home, self.tool.from_thread, self.take)
        self.asker.ask()
        self.set_interval(READ_EVERY, self.asker.ask)

    def on_screen_resume(self) -> None:
        """Read anew what was entered meanwhile."""
        if self.asker is not None:
            self.asker.ask()
        super().on_screen_resume()

    def on_unmount(self) -> None:
        """Let go of the book."""
        if self.asker is not None:
            self.asker.close()

    def take(self, known: Known) -> None:
        """Take what was read."""
        self.known = known
        self.draw()

    # --- keys ------------------------------------------------------------------------------------

    def pressed(self, key: str, character: str | None) -> bool:
        """Scroll; offer what can be entered."""
        steps = {"up": -1, "down": 1, "pageup": -self._room, "pagedown": self._room, "space": self._room,
                 "home": -(1 << 20), "end": 1 << 20}  # fmt: skip
        if key in steps:
            self.top += steps[key]
        elif key == "enter" and (now := self.tool.session.real_clock.up()) < self._held_until:
            self._held_until, self.message = now + HELD, self._entered_last
        elif key == "enter":
            self._offer()
        else:
            return False
        return True

    def _offer(self) -> None:
        from darkroom.screens.widgets.chooser import Choice, Chooser

        bottle = self.bottle
        if bottle is None:
            self.message = "this bottle is no longer in the book"
            return
        if self.tool.rehearsal:
            self.message = NO_REHEARSAL
            return
        if bottle.newer:
            self.message = "a newer darkroom made this bottle: nothing is added to it here"
            return
        rows = [Choice(*row) for row in choices(bottle, self.known, time.time())]
        self.app.push_screen(Chooser(f"{plain(bottle.name)}: what was done?", rows), self._chosen)

    def _chosen(self, kind: str | None) -> None:
        bottle = self.bottle
        if bottle is None or kind is None:
            return
        if kind == "withdrawn":
            from darkroom.screens.widgets.chooser import Choice, Chooser

            rows = [Choice(*row) for row in line_choices(bottle, self.known)]
            title = f"{plain(bottle.name)}: which line does not count?"
            self.app.push_screen(Chooser(title, rows), self._withdraw)
        else:
            self.tool.open_screen("bottle line", kind, bottle, self.known, self._entered)

    def _withdraw(self, place: str | None) -> None:
        if place is not None and self.bottle is not None:
            self.tool.open_screen("bottle line", "withdrawn", self.bottle, self.known, self._entered, place)

    def _entered(self, said: str) -> None:
        """Say what was entered; the page reads it when the form over it closes."""
        self.message = self._entered_last = said
        self._held_until = self.tool.session.real_clock.up() + HELD

    # --- drawing -----------------------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """The bottle's name and what is in it; its state."""
        bottle = self.bottle
        if bottle is None:
            return "BOTTLE", "no longer in the book"
        due = sum(one.now for one in self.known.dues_of(bottle.id))
        state = bottle.state(self.known.now) + (f", {due} due" if due else "")
        return f"{plain(bottle.name)}  {bottle.what}", state if self.known.whole else "reading the plates …"

    def keys(self) -> list[tuple[str, str]]:
        """What can be done here."""
        return [("enter", "say what was done"), ("up down", "scroll"), ("F12", "all bottles")]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The part of the page in sight."""
        page_rows = self._rows(columns)
        self._room = max(1, rows - 1)
        self.top = max(0, min(self.top, len(page_rows) - self._room))
        in_sight = page_rows[self.top : self.top + self._room]
        below = len(page_rows) - self.top - len(in_sight)
        more: Row = [(below_words(below), "quiet")] if below > 0 else []
        return [*in_sight, *([[]] * (self._room - len(in_sight))), more]

    def _rows(self, columns: int) -> list[Row]:
        bottle, known = self.bottle, self.known
        if bottle is None:
            return [[], [("Its files are no longer where they were: darkroom log check.", "loud")]]
        if self._page_rows[0] != (columns, known.now):
            page_rows = bottle_rows.page(
                bottle,
                known.accounts[bottle.id],
                known.uses_of(bottle.id),
                known.dues_of(bottle.id),
                known.unknown_of(bottle),
                known.names(),
                known.now,
                local_zone(known.now),
                columns,
                self.tool.services.bench_id,
                whole=known.whole,
            )
            in_signs = in_ascii(page_rows) if self.tool.blocks == "spaces" else page_rows
            self._page_rows = (columns, known.now), in_signs
        return self._page_rows[1]
