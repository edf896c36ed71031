"""One plate on the screen: how it was judged, its time line, all that its journal tells, on one page."""

from __future__ import annotations

import threading
import time
from pathlib import Path

from darkroom.errors import NotReadable
from darkroom.log.journal import append
from darkroom.log.journal.journal_names import files_of
from darkroom.log.plate.picture import look, path_of
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.process.text.plain_text import plain
from darkroom.screens.log_list.plate_rows import day_words
from darkroom.screens.log_plate import mark_words, plate_text
from darkroom.screens.log_plate.time_line_rows import time_line
from darkroom.screens.log_plate.why_asked import WhyAsked
from darkroom.screens.widgets.ascii_page import in_ascii
from darkroom.screens.widgets.page import Page
from darkroom.screens.widgets.rows import Row

WIDE = 100
"""From so many columns on the foot names a key of all pages too."""
LOOK = 0.5
"""The journal's files are looked after at most so often, in seconds."""


def page(record: PlateRecord, columns: int, picture: str = "", why: WhyAsked | None = None) -> list[Row]:
    """Return all rows of the page, of any number; none is longer than `columns`.

    `picture` is what is known of the plate's picture by now, `why` what is known of why it failed.
    """
    judged = plate_text.judged(record, columns, picture)
    if why is not None:
        judged = plate_text.judged(record, columns, picture, why.likely, why.labels(record), why.advice)
    time_line_rows = time_line(record, columns)
    return [
        *judged,
        *plate_text.questions(record, columns),
        *([[], *time_line_rows] if time_line_rows else []),
        *plate_text.lateness(record, columns),
        *([] if why is None else why.rows(columns)),
        *plate_text.speed(record, columns),
        *plate_text.table(record, columns),
        *plate_text.plate(record, columns),
        *plate_text.process(record, columns),
        *plate_text.moments(record, columns),
        *plate_text.history(record, columns),
        *plate_text.problems(record, columns),
    ]


def ending_text(record: PlateRecord) -> str:
    """Return how the plate ended, or where it is."""
    ended = record.log.ended
    if ended is None:
        return record.account.now or "its end is not known"
    if ended.how == "abandoned":
        return "given up" + (f": {plain(ended.reason)}" if ended.reason else "")
    return ended.how


class PlateScreen(Page):
    """The plate whose first file is `path`; its journal is read anew when it grows."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self.top = 0
        self.record = read_record(path)
        self._files_state = files_state_of(path)
        self._checked_at = time.monotonic()
        self._page_rows: tuple[int, list[Row]] = (0, [])
        self._room = 1
        self._asks_of: PlateRecord | None = None
        self._asks = False
        """Whether a mark of the record `_asks_of` has no words."""
        self._picture: tuple[str | None, str] = (None, "")
        """The path of the picture that was looked at last, and what was found there."""
        self.why = WhyAsked(self.tool, path, self._why_found)

    # --- the journal -------------------------------------------------------------------------------

    def look(self, now: bool = False) -> None:
        """Read the journal anew when its files have changed; looked at twice a second, or `now`."""
        if not now and time.monotonic() - self._checked_at < LOOK:
            return
        self._checked_at = time.monotonic()
        files_state = files_state_of(self.path)
        if files_state != self._files_state:
            self._files_state = files_state
            self.record = read_record(self.path)
            self._page_rows = (0, [])
            self.why.ask(self.record)

    def on_screen_resume(self) -> None:
        """Ask anew why it failed: another plate may have been judged meanwhile."""
        self.why.ask(self.record)
        super().on_screen_resume()

    def _why_found(self) -> None:
        self._page_rows = (0, [])
        self.draw()

    def draw(self) -> None:
        """Paint the page as the journal is now."""
        self.look()
        if self.record.picture != self._picture[0]:
            self._look_at_picture(self.record.picture)
        super().draw()

    def _look_at_picture(self, text: str | None) -> None:
        """Find out what the plate's picture is: its disk may be slow, or away, and keeps nobody waiting."""
        self._picture = text, ""
        if text is None:
            return

        def work() -> None:
            try:
                found = look(path_of(text)).words
            except NotReadable:
                found = "not there now"
            self.tool.from_thread(lambda: self._picture_found(text, found))

        threading.Thread(target=work, name="picture", daemon=True).start()

    def _picture_found(self, text: str, found: str) -> None:
        if self.is_attached and self._picture[0] == text:
            self._picture = text, found
            self._page_rows = (0, [])
            self.draw()

    # --- keys --------------------------------------------------------------------------------------

    def pressed(self, key: str, character: str | None) -> bool:
        """Scroll; judge; move a strike; say what happened at the marks."""
        steps = {"up": -1, "down": 1, "pageup": -self._room, "pagedown": self._room, "space": self._room,
                 "home": -(1 << 20), "end": 1 << 20}  # fmt: skip
        if key in steps:
            self.top += steps[key]
        elif key == "y" and self.why.asked:
            self.top = self._row_of(plate_text.WHY)
        elif key in ("j", "m", "w", "c"):
            self.message = self._not_now()
            if not self.message:
                {"j": self._judge, "m": self._move, "w": self._say_marks, "c": self._confirm}[key]()
        else:
            return False
        return True

    def _row_of(self, heading: str) -> int:
        """Return the place of the part of the page that begins so."""
        rows = enumerate(self._page_rows[1])
        return next((place for place, row in rows if row and row[0][0] == heading), self.top)

    def exposure_plate(self) -> tuple[str, ...]:
        """The exposure is reckoned from this plate."""
        start = self.record.log.start
        return (self.record.log.plate, str(start.number)) if start else ()

    def _not_now(self) -> str:
        """Return why nothing can be added to this plate now, or nothing: asked before anything is typed."""
        bench, plate = self.tool.session.bench, self.record.log.plate
        state = bench.plates.get(plate)
        if state is None or plate in bench.handed_over:
            return append.why_not(self.path) or ""
        if state.on_bench:
            return "this plate is on the bench: note it there, judge it when it is racked or finished"
        what = "racked" if state.racked else "finished"
        return f"it is just {what}: that can be taken back for a minute; then judge it"

    def _judge(self) -> None:
        before = self.record.log.last_n

        def closed(_: None) -> None:
            self.look(now=True)
            if self.record.log.last_n > before:
                self.message = "saved"

        self.tool.open_screen("judging", self.path, self.why.advised, closed=closed)

    def _confirm(self) -> None:
        self.message = self.why.confirm(self.record, self._moved)

    def _say_marks(self) -> None:
        mark_words.ask_and_note(self.tool, self.record, self._marks_said)

    def _marks_said(self, message: str, saved: bool) -> None:
        """Say what was noted, and ask for the next mark that has no words."""
        self._moved(message)
        if saved and mark_words.open_marks(self.record):
            self.call_later(self._say_marks)  # a screen is opened from the toolkit's own loop

    def _move(self) -> None:
        from darkroom.screens.log_plate.move_strike import ask_and_move

        ask_and_move(self.tool, self.record, self._moved)

    def _moved(self, message: str) -> None:
        self.look(now=True)
        self.draw()
        self.message = message
        super().draw()

    # --- drawing -----------------------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """The plate and its process; its day and how it ended."""
        record = self.record
        subject = record.log.start.subject if record.log.start else None
        name = record.title.upper() + "  " + plain(record.process or "")
        return name + (
            f": {plain(subject)}" if subject else ""
        ), f"{day_words(record.log.local_date)}  {ending_text(record)}"

    def keys(self) -> list[tuple[str, str]]:
        """What can be done here."""
        if self._asks_of is not self.record:  # a journal may be long: it is gone through once
            self._asks_of, self._asks = self.record, bool(mark_words.open_marks(self.record))
        marked = [("w", "marks")] if self._asks else []
        confirm = (
            [("c", "confirm its cause" if self.size.width >= WIDE else "cause")] if self.why.asked else []
        )
        exposure = [("F8", "exposure")] if self.size.width >= WIDE else []
        return [("j", "judge"), ("m", "move a strike"), *marked, *confirm, ("up down", "scroll"), *exposure]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The part of the page in sight."""
        if self._page_rows[0] != columns:
            rows_of_page = page(self.record, columns, self._picture[1], self.why)
            if self.tool.blocks == "spaces":
                rows_of_page = in_ascii(rows_of_page)
            self._page_rows = columns, rows_of_page
        page_rows = self._page_rows[1]
        self._room = max(1, rows - 1)
        self.top = max(0, min(self.top, len(page_rows) - self._room))
        rows_in_sight = page_rows[self.top : self.top + self._room]
        below = len(page_rows) - self.top - len(rows_in_sight)
        more_row: Row = [(f"{below} rows more below", "quiet")] if below > 0 else []
        return [*rows_in_sight, *([[]] * (self._room - len(rows_in_sight))), more_row]


def files_state_of(path: Path) -> tuple[tuple[str, int, int], ...]:
    """Return what tells whether a plate's files have changed: (path, bytes, time) of each."""
    states = []
    for file in files_of(path):
        try:
            status = file.stat()
        except OSError:
            continue
        states.append((str(file), status.st_size, status.st_mtime_ns))
    return tuple(states)
