"""The list of bottles: in use first, then what ripens and what is set aside, and what is due for each."""

from __future__ import annotations

from darkroom.screens.bottles import list_rows
from darkroom.screens.bottles.asking import HELD, NO_REHEARSAL, READ_EVERY, BookAsker, Known
from darkroom.screens.bottles.line_kinds import NEW
from darkroom.screens.bottles.list_rows import Listed
from darkroom.screens.bottles.short_words import below_words
from darkroom.screens.widgets.page import Page
from darkroom.screens.widgets.rows import Row, clip
from darkroom.solutions.bottle import Bottle

EMPTY = (
    "No bottle is in the book yet.",
    "n enters one here, with what is in it and what it is called.",
    "darkroom mix silver-bath --make 1L --bottle B-1 enters what was mixed,",
    "darkroom bottle new bath B-1 one that stands there already.",
    "Plates count themselves once they name their bottles.",
)


class BottlesScreen(Page):
    """All bottles of the book; the discarded ones when they are asked for."""

    is_bottles = True

    def __init__(self) -> None:
        super().__init__()
        self.known: Known | None = None
        self.listed: list[Listed] = []
        self.discarded = False
        """Whether the discarded bottles are shown."""
        self.problems_shown = False
        self.place = 0
        """The row under the cursor, among `listed`."""
        self.top = 0
        self.asker: BookAsker | None = None
        self._room = 1
        self._held_until = 0.0
        """The enter that saved a line and is still held down opens nothing."""
        self._entered_last = ""

    # --- the book --------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Ask for the book; the toolkit calls the one of every page too."""
        tool = self.tool
        self.asker = BookAsker(tool.services.home, tool.from_thread, self.take)
        self.asker.ask()
        self.set_interval(READ_EVERY, self.asker.ask)

    def on_screen_resume(self) -> None:
        """Read anew what may have changed on the page that was closed."""
        if self.asker is not None:
            self.asker.ask()
        super().on_screen_resume()

    def on_unmount(self) -> None:
        """Let go of the book."""
        if self.asker is not None:
            self.asker.close()

    def take(self, known: Known) -> None:
        """Take what was read; the same bottle stays under the cursor."""
        self.known = known
        self._list()
        self.draw()

    def _list(self) -> None:
        known, under = self.known, self.bottle
        if known is None:
            return
        offset = self.place - self.top
        self.listed = list_rows.listed(known.bottles, known.now, discarded=self.discarded)
        places = [place for place, row in enumerate(self.listed) if not isinstance(row, str)]
        same = [place for place in places if under is not None and _id(self.listed[place]) == under.id]
        if same:
            self.place, self.top = same[0], same[0] - offset
        else:
            self.place = min(places, key=lambda place: abs(place - self.place), default=0)

    @property
    def bottle(self) -> Bottle | None:
        """The bottle under the cursor."""
        row = self.listed[self.place] if self.place < len(self.listed) else None
        return None if isinstance(row, str) else row

    # --- keys ------------------------------------------------------------------------------------

    def pressed(self, key: str, character: str | None) -> bool:
        """Move, open, enter a new bottle; show the discarded ones, and what cannot be read."""
        steps = {"up": -1, "down": 1, "pageup": -self._room, "pagedown": self._room, "space": self._room,
                 "home": -(1 << 20), "end": 1 << 20}  # fmt: skip
        if key in steps:
            self._move(steps[key])
        elif key == "enter" and (now := self.tool.session.real_clock.up()) < self._held_until:
            self._held_until, self.message = now + HELD, self._entered_last
        elif key == "enter" and not self.problems_shown:
            self._open()
        elif key == "n":
            self._new()
        elif key == "d":
            self.discarded = not self.discarded
            self._list()
        elif key == "p" and self.known is not None and self.known.problems:
            self.problems_shown, self.top = not self.problems_shown, 0
        elif key == "escape" and self.problems_shown and not self._calling:
            self.problems_shown, self.top = False, 0
        else:
            return False
        return True

    def _move(self, by: int) -> None:
        if self.problems_shown:
            self.top += by
            return
        places = [place for place, row in enumerate(self.listed) if not isinstance(row, str)]
        target = self.place + by
        if by > 0:
            self.place = next((place for place in places if place >= target), max(places, default=0))
        else:
            self.place = next(
                (place for place in reversed(places) if place <= target), min(places, default=0)
            )

    def _open(self) -> None:
        if self.bottle is not None and self.known is not None:
            self.tool.open_screen("bottle", self.bottle.id, self.known)

    def _new(self) -> None:
        if self.known is None:
            self.message = "reading the book …"
            return
        if self.tool.rehearsal:
            self.message = NO_REHEARSAL
            return
        self.tool.open_screen("bottle line", NEW, None, self.known, self._entered)

    def _entered(self, said: str) -> None:
        """Say what was entered; the list is read anew when the form over it closes."""
        self.message = self._entered_last = said
        self._held_until = self.tool.session.real_clock.up() + HELD

    # --- drawing -----------------------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """How many are in use, and for how many something is due."""
        known = self.known
        if known is None:
            return "BOTTLES", "reading the book …"
        in_use = sum(bottle.state(known.now) == "in use" for bottle in known.bottles.values())
        due = len({one.bottle for one in known.dues if one.now})
        remarks = [f"{in_use:,} of {len(known.bottles):,} in use"] if known.bottles else []
        if due:
            remarks.append(f"{due:,} due")
        if not known.whole:
            remarks.append("reading the plates …")
        return "BOTTLES", ", ".join(remarks)

    def keys(self) -> list[tuple[str, str]]:
        """What can be done here."""
        known = self.known
        keys = [("enter", "open"), ("n", "new")]
        if known is not None and any(bottle.out_of_use == "discarded" for bottle in known.bottles.values()):
            keys.append(("d", "hide discarded" if self.discarded else "show discarded"))
        if known is not None and known.problems:
            keys.append(("p", "problems"))
        return [*keys, ("up down", "move")]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The bottles in sight; below them what is known of the one under the cursor, and of problems."""
        known = self.known
        if known is None:
            return []
        if self.problems_shown:
            return self._problem_rows(known, columns, rows)
        problem_row = self._problem_row(known, columns)
        if not self.listed:
            hidden = "All bottles are discarded: d shows them." if known.bottles else ""
            texts = [hidden] if hidden else EMPTY
            return [[], *([(clip(f" {text}", columns), "text")] for text in texts), [], *problem_row]
        details: list[Row] = []
        if self.bottle is not None:
            told, dues = known.accounts[self.bottle.id], known.dues_of(self.bottle.id)
            details = list_rows.details(self.bottle, told, dues, known.now, columns)
        self._room = max(1, rows - 2 - list_rows.DETAILS - len(problem_row))
        self._scroll()
        drawn = [list_rows.heads(columns)]
        for place in range(self.top, min(self.top + self._room, len(self.listed))):
            drawn.append(self._row(known, place, columns))
        drawn += [[]] * (1 + self._room - len(drawn))
        below = len(self.listed) - self.top - self._room
        drawn.append([(clip(" " + below_words(below), columns), "quiet")] if below > 0 else [])
        return [*drawn, *details, *([[]] * (list_rows.DETAILS - len(details))), *problem_row]

    def _row(self, known: Known, place: int, columns: int) -> Row:
        row = self.listed[place]
        if isinstance(row, str):
            return [(clip(f" {row}", columns), "loud")]
        told, dues = known.accounts[row.id], known.dues_of(row.id)
        return list_rows.line(row, told, dues, known.now, columns, place == self.place)

    def _scroll(self) -> None:
        """Keep the cursor in sight, and the heading above it where there is room."""
        if self.place < self.top:
            self.top = self.place
        elif self.place >= self.top + self._room:
            self.top = self.place - self._room + 1
        if (
            self.place == self.top
            and self.place
            and self._room > 1
            and isinstance(self.listed[self.place - 1], str)
        ):
            self.top -= 1
        self.top = max(0, min(self.top, len(self.listed) - self._room))

    def _problem_row(self, known: Known, columns: int) -> list[Row]:
        count = len(known.problems)
        if not count:
            return []
        text = known.problems[0] if count == 1 else f"{count:,} problems (p shows them): {known.problems[0]}"
        return [[(clip(f" {text}", columns), "loud")]]

    def _problem_rows(self, known: Known, columns: int, rows: int) -> list[Row]:
        from darkroom.screens.widgets.wrapped_text import wrapped

        lines = [line for problem in known.problems for line in (*wrapped(problem, columns - 1), "")]
        self._room = max(1, rows - 2)
        self.top = max(0, min(self.top, len(lines) - self._room))
        shown: list[Row] = [[(f" {line}", "text")] for line in lines[self.top : self.top + self._room]]
        return [[(clip(" What cannot be read, or does not fit together", columns), "loud")], *shown]


def _id(row: Listed) -> str:
    return "" if isinstance(row, str) else row.id
