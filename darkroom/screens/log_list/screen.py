"""The list of plates: newest first, filtered as one types, only the rows in sight ever asked for."""

from __future__ import annotations

import os
from pathlib import Path

import msgspec

from darkroom.log.catalogue import filter
from darkroom.log.catalogue.query import ORDERS, Query
from darkroom.log.catalogue.service import CatalogueService, FillProgress, PageRequest, ResultPage
from darkroom.screens.log_list import plate_rows
from darkroom.screens.log_list.first_page import AROUND, FirstPage
from darkroom.screens.widgets.page import COMPARE_KEY, JUMP_KEY, SORT_KEY, TRENDS_KEY, Page
from darkroom.screens.widgets.rows import Row, clip, fill

ORDER_WORDS = {
    "newest": "newest first",
    "oldest": "oldest first",
    "stars": "by stars",
    "process": "by process",
}
LONGEST = 200
"""The filter has no more signs."""


class PlateListScreen(Page):
    """All plates, or those that a filter leaves: `text` is typed, `first_page` may be asked for already."""

    is_log = True

    def __init__(self, text: str = "", first_page: FirstPage | None = None) -> None:
        super().__init__()
        self._first_page = first_page
        self.text = "".join(sign for sign in text if sign.isprintable())[:LONGEST]
        self.order = "newest"
        self.place = 0
        """The place of the plate under the cursor, among all that answer."""
        self.held_plate: tuple[Path, str] | None = None
        """The plate held to be put beside another, and what it is called."""
        self.page: ResultPage | None = None
        self.progress = FillProgress()
        self.trouble = ""
        self.catalogue: CatalogueService | None = None
        self.top = 0
        self._last_request: PageRequest | None = None

    # --- the catalogue ---------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Ask for the first page; the toolkit calls the one of every page too."""
        tool = self.tool
        first = self._first_page or FirstPage(
            tool.services.home, PageRequest(self.question, 0, 3 * self.room)
        )
        self.catalogue, self._last_request = first.service, first.request
        first.attach(tool.from_thread, self)
        self.ask(0)
        if tool.services.only_look:
            self.message = "another darkroom is at the bench: here the log can be looked at and judged"

    def back(self) -> None:
        """Close the list; leave where there is nothing behind it."""
        tool = self.tool
        if tool.services.only_look:
            tool.leave()
            return
        nothing_behind = len(tool.screen_stack) == 2 and not tool.session.bench.on_bench
        super().back()
        if nothing_behind:
            tool.home()

    def on_unmount(self) -> None:
        """Let go of the catalogue."""
        if self.catalogue is not None:
            self.catalogue.close()

    @property
    def question(self) -> Query:
        """What is asked for."""
        query = filter.parse(self.text, self.order).query
        return msgspec.structs.replace(query, rehearsals=self.tool.rehearsal)

    @property
    def room(self) -> int:
        """How many plates are in sight."""
        return max(1, self.size.height - AROUND - len(self.bench_rows(self.size.width)))

    def ask(self, first: int, jump: str | None = None) -> None:
        """Ask for the plates around those in sight, a screen more at either end."""
        request = PageRequest(self.question, max(0, first - self.room), 3 * self.room, jump)
        if self.catalogue is not None and request != self._last_request:
            self._last_request = request
            self.catalogue.ask(request)

    def take_page(self, page: ResultPage, anew: bool) -> None:
        """Take a page; the same plate stays under the cursor when the log changed behind it."""
        if page.query != self.question or not self.is_attached:
            return
        row_under_cursor = self.row_at(self.place)
        self.page = page
        if page.jumped:
            self._last_request = None
            self.place = self.top = page.first
        elif anew and row_under_cursor is not None and self.place > 0:
            path = row_under_cursor["path"]
            places = [page.first + i for i, row in enumerate(page.rows) if row["path"] == path]
            if places:
                self.top += places[0] - self.place
                self.place = places[0]
        self.place = max(0, min(self.place, page.matching - 1))
        self._scroll()
        self.draw()

    def take_progress(self, progress: FillProgress) -> None:
        """Take how the reading of the log goes."""
        if progress != self.progress:
            self.progress = progress
            self.draw()

    def take_trouble(self, text: str) -> None:
        """Take why a question is not answered."""
        self.trouble = text
        self.draw()

    def row_at(self, place: int) -> plate_rows.PlateRow | None:
        """Return the plate at a place among all that answer; None where it is not at hand yet."""
        page = self.page
        if page is None or not page.first <= place < page.first + len(page.rows):
            return None
        return page.rows[place - page.first]

    def _scroll(self) -> None:
        """Keep the cursor in sight, and the plates in sight at hand."""
        matching = self.page.matching if self.page else 0
        if not self.place - self.room < self.top <= self.place:
            self.top = self.place if self.place < self.top else self.place - self.room + 1
        self.top = max(0, min(self.top, matching - self.room))
        page = self.page
        if page is None:
            return
        last = min(matching, self.top + self.room)
        # the answer to a jump is still to come
        jumping = self._last_request is not None and self._last_request.jump is not None
        if not jumping and (self.top < page.first or last > page.first + len(page.rows)):
            self.ask(self.top)

    # --- keys ------------------------------------------------------------------------------------

    def pressed(self, key: str, character: str | None) -> bool:
        """Move, open, type; escape clears what is typed before it leaves, unless a plate calls."""
        steps = {"up": -1, "down": 1, "pageup": -self.room, "pagedown": self.room}
        matching = self.page.matching if self.page else 0
        if key in steps or key in ("home", "end"):
            place = {"home": 0, "end": matching - 1}.get(key, self.place + steps.get(key, 0))
            self.place = max(0, min(place, matching - 1))
            self._scroll()
        elif key == "enter":
            self._open()
        elif key == SORT_KEY:
            self._sort()
        elif key == JUMP_KEY:
            self._jump()
        elif key == TRENDS_KEY:
            self.tool.open_screen("trends", self.question)
        elif key == COMPARE_KEY:
            self._hold_to_compare()
        elif key == "backspace" and self.text:
            self._type(self.text[:-1])
        elif self.text and (key == "ctrl+u" or (key == "escape" and not self._calling)):
            self._type("")
        elif character is not None and character.isprintable() and len(self.text) < LONGEST:
            self._type(self.text + character)
        else:
            return False
        return True

    def _type(self, text: str) -> None:
        previous_question = self.question
        self.text = text
        if self.question != previous_question:
            self.place = self.top = 0
            self.ask(0)

    def _sort(self) -> None:
        orders = list(ORDERS)
        self.order = orders[(orders.index(self.order) + 1) % len(orders)]
        self.place = self.top = 0
        self.ask(0)

    def _open(self) -> None:
        row = self.row_at(self.place)
        if row is not None:
            self.tool.open_screen("plate", _path(row))

    def _jump(self) -> None:
        from darkroom.log.catalogue.filter_values import days
        from darkroom.screens.widgets.prompt import Prompt

        def read_days(text: str) -> tuple[str, str]:
            return days(text, "day")

        def submitted(text: str | None) -> None:
            if text:
                if self.order not in ("newest", "oldest"):
                    self.order = "newest"
                first, last = read_days(text)
                self.ask(0, first if self.order == "oldest" else last)

        hint = "2026-03-01, 2026-03 or 2026: the plates of that day, or the nearest before."
        self.app.push_screen(Prompt("Jump to a day", "", hint, read_days), submitted)

    def _hold_to_compare(self) -> None:
        """Hold a plate; hold another, and they stand side by side."""
        row = self.row_at(self.place)
        if row is None:
            return
        path, name = _path(row), f"plate {'?' if row['number'] is None else row['number']}"
        if self.held_plate is None:
            self.held_plate = path, name
            self.message = f"{name} is held: F5 on another puts the two side by side"
        elif self.held_plate[0] == path:
            self.held_plate = None
            self.message = f"{name} is let go"
        else:
            first, self.held_plate = self.held_plate[0], None
            self.tool.open_screen("comparison", first, path)

    def on_paste(self, event: object) -> None:
        """Pasted text is typed."""
        text = str(getattr(event, "text", ""))
        self._type((self.text + "".join(s for s in text.partition("\n")[0] if s.isprintable()))[:LONGEST])
        self.draw()

    # --- drawing -----------------------------------------------------------------------------------

    def draw(self) -> None:
        """Paint the page; on a screen of another size the cursor stays in sight."""
        if self.is_attached and self.size.height:
            self._scroll()
        super().draw()

    def heading(self) -> tuple[str, str]:
        """The log, and how many plates of it."""
        page = self.page
        kind = "REHEARSALS" if self.tool.rehearsal else "PLATES"
        if page is None:
            return kind, "reading the log …"
        count = f"{page.total:,}" if page.matching == page.total else f"{page.matching:,} of {page.total:,}"
        remarks = [f"{count}, {ORDER_WORDS[self.order]}"]
        if page.problems:
            remarks.append(f"{page.problems:,} problems: darkroom log check")
        if not self.progress.checked:
            remarks.append("reading the log …")
        return kind, "   ".join(remarks)

    def keys(self) -> list[tuple[str, str]]:
        """What can be done here."""
        held = "beside it" if self.held_plate else "compare"
        return [("enter", "open"), ("F4", "trends"), ("F5", held), ("F6", "sort"), ("F7", "to a day")]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The filter, the heads, the plates, what is known of the one under the cursor."""
        remarks = filter.parse(self.text).remarks
        filter_row = [(" find ", "quiet"), (f" {self.text}", "reversed"), (" ", "frame")]
        if not (self.text or self.trouble):
            examples = "words, process:tintype, stars:4.., bath:18..20, on:2026-03, fault:fog"
            filter_row.append((f"  {examples}", "quiet"))
        if remarks or self.trouble:
            filter_row.append((f"   {remarks[0] if remarks else self.trouble}", "loud"))
        page_rows: list[Row] = [filter_row, plate_rows.heads(columns)]
        room = rows - 3
        page = self.page
        if page is not None and page.matching == 0:
            none = "no plate answers to that: backspace" if self.text else self._nothing()
            return [*page_rows, [], [(" " + none, "text")]]
        for place in range(self.top, self.top + room):
            row = self.row_at(place)
            if row is None:
                blank = page is not None and place < page.matching
                page_rows.append([(" …", "quiet")] if blank else [])
                continue
            row_before = self.row_at(place - 1) if place > self.top else None
            is_held = self.held_plate is not None and _path(row) == self.held_plate[0]
            page_rows.append(plate_rows.line(row, row_before, columns, place == self.place, is_held))
        row_under_cursor = self.row_at(self.place)
        details = plate_rows.details_line(row_under_cursor, columns) if row_under_cursor else []
        page_rows.append(fill(details, columns))
        return [[(clip(text, columns), kind) for text, kind in row] for row in page_rows]

    def _nothing(self) -> str:
        if not self.progress.checked:
            return "reading the log …"
        return "No plate has been made yet. Its journal begins with the first press on the bench."


def _path(row: plate_rows.PlateRow) -> Path:
    """Return the first file of a plate; the catalogue has bytes for a name that is no text."""
    return Path(os.fsdecode(row["path"]))
