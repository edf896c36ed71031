"""Judging a plate: a form like the home screen's, over what stands now. Enter saves, escape leaves.

What is saved are new lines of the plate's journal, and only for what changed. What cannot be saved stays
typed.
"""

from __future__ import annotations

import threading
import time
from pathlib import Path

from textual import events

from darkroom.devices.clock import stamp
from darkroom.errors import DarkroomError
from darkroom.log.journal import append
from darkroom.log.plate.record import Told, tell
from darkroom.log.review.judgement import changes, standing, together
from darkroom.process.text.plain_text import plain
from darkroom.screens.judging.fields import MOST, Entry, Sheet, read, sheet
from darkroom.screens.log_list.plate_rows import stars_words
from darkroom.screens.widgets.line_edit import edited
from darkroom.screens.widgets.page import Leaf
from darkroom.screens.widgets.rows import Row, fill, width
from darkroom.session.key_map import form_key

LABEL = 12
"""The cells of a field's name."""


class JudgeLeaf(Leaf):
    """The judgement of the plate whose first file is `path`."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self.told: Told = tell(path)
        self.sheet: Sheet = sheet(standing(self.told.log))
        self.active = 0
        self.cursor = len(self.entry.value)
        self.wrong: dict[str, str] = {}
        self.leaving = False
        self.saving = False
        """The disk has it: the clocks of a live bench do not wait for a slow card."""

    @property
    def entry(self) -> Entry:
        """The field under the hand."""
        return self.sheet.entries[self.active]

    # --- keys ------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Give the key map's keys their work in a form: those of go save, those that go back leave."""
        recogniser = self.tool.session.recogniser
        key = form_key(recogniser.zone_of, event.key, event.is_printable)
        acts = key in ("enter", "escape")
        if recogniser.taken_elsewhere(event.key if acts else "", self.tool.session.hands.up()):
            event.key = key
            super().on_key(event)

    def pressed(self, key: str, character: str | None) -> bool:
        """Move, choose, type; enter saves; escape asks when something was typed."""
        if self.saving:
            self.message = "saving …"
            return True
        leaving, self.leaving = self.leaving, False
        if key in ("up", "shift+tab"):
            self._go(self.active - 1)
        elif key in ("down", "tab"):
            self._go(self.active + 1)
        elif key in ("pageup", "pagedown"):
            self._go(0 if key == "pageup" else len(self.sheet.entries) - 1)
        elif key == "enter":
            self.save()
        elif key == "escape":
            if leaving or not self.sheet.changed:
                return False
            self.leaving = True
            self.message = "what was typed is not saved: escape again leaves it, enter saves"
        else:
            self._edit(key, character)
        return True

    def _go(self, place: int) -> None:
        self.active = place % len(self.sheet.entries)
        self.cursor = len(self.entry.value)

    def _edit(self, key: str, character: str | None) -> None:
        entry = self.entry
        if entry.kind == "stars":
            if key in ("left", "right", "space"):
                self._turn(-1 if key == "left" else 1)
            elif character is not None and character in "012345":
                entry.value = character
            elif key in ("backspace", "delete", "ctrl+u"):
                entry.value = ""
        elif entry.kind == "where" and key in ("left", "right"):
            self._turn(-1 if key == "left" else 1)
        else:
            entry.value, self.cursor = edited(entry.value, self.cursor, key, character, MOST)
        self.wrong.pop(entry.id, None)
        kept = entry
        self.sheet.grow()
        self.active = self.sheet.entries.index(kept)

    def _turn(self, by: int) -> None:
        entry = self.entry
        options = entry.options
        at = options.index(entry.value) + by if entry.value in options else (by - 1) // 2
        entry.value = options[at % len(options)]
        self.cursor = len(entry.value)

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text is typed."""
        for character in event.text.splitlines()[0] if event.text else "":
            self._edit("", character)
        self.draw()

    # --- saving ----------------------------------------------------------------------------------

    def save(self) -> None:
        """Write what changed and close; what is wrong, or refused, is said and stays typed."""
        wanted, self.wrong = read(self.sheet)
        if self.wrong:
            name = next(iter(self.wrong))
            self._go([entry.id for entry in self.sheet.entries].index(name))
            return
        reason = self.sheet.at("reason").value.strip() or None
        log = self.told.log
        try:
            makers = changes(log, wanted, reason, stamp(time.time())) if self.sheet.changed else []
        except DarkroomError as error:
            self.message = plain(str(error))
            return
        if not makers:
            self.dismiss(None)
            return
        tool = self.tool
        home, build = tool.parts.home, together(self.path, log, makers)

        def write() -> None:
            try:
                append.add_all(home, self.path, build)
                words = ""
            except (DarkroomError, OSError) as error:
                words = plain(str(error))
            tool.from_thread(lambda: self._saved(words))

        self.saving = True
        self.message = "saving …"
        threading.Thread(target=write, name="judge").start()

    def _saved(self, words: str) -> None:
        """Close, or say why nothing was saved; what is typed stays."""
        self.saving = False
        if not self.is_attached:
            return
        if not words:
            self.dismiss(None)
            return
        self.message = words
        self.draw()

    # --- drawing -----------------------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """The plate, and whether anything was typed."""
        process = plain(self.told.process or "")
        return f"JUDGE {self.told.title.upper()}  {process}", "changed" if self.sheet.changed else ""

    def keys(self) -> list[tuple[str, str]]:
        """What can be done here."""
        return [("enter", "save"), ("up down", "move"), ("left right", "choose")]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The fields around the one under the hand; below them what is to be typed, or what is wrong."""
        return page(self.sheet, self.active, self.cursor, self.wrong, columns, rows)


def page(one: Sheet, active: int, cursor: int, wrong: dict[str, str], columns: int, rows: int) -> list[Row]:
    """Return `rows` rows of `columns` cells: the fields in sight, and a row of help."""
    room = max(1, rows - 2)
    lines = [_line(entry, number == active, cursor, entry.id in wrong, columns)
             for number, entry in enumerate(one.entries)]  # fmt: skip
    first = max(0, min(active - room // 2, len(lines) - room))
    shown = lines[first : first + room]
    shown += [fill([], columns)] * (room - len(shown))
    entry = one.entries[active]
    amiss = wrong.get(entry.id)
    stood = "" if entry.value == entry.was or not entry.was else f"  Stood: {plain(entry.was)}"
    help_row = fill([(plain(amiss or entry.hint), "loud" if amiss else "text"), (stood, "quiet")], columns)
    return [*shown, fill([], columns), help_row][:rows]


def _line(entry: Entry, active: bool, cursor: int, wrong: bool, columns: int) -> Row:
    changed = entry.value != entry.was
    label: Row = [
        ("* " if changed else "  ", "loud"),
        (f"{entry.label:<{LABEL - 2}} ", "text" if active else "quiet"),
    ]
    shown = "".join(sign if sign.isprintable() else " " for sign in entry.value)
    if entry.kind == "stars" and shown:
        shown = f"{shown} of 5 {stars_words(int(shown))}"
    if not active:
        return fill([*label, (shown, "loud" if wrong else "text")], columns)
    if entry.kind == "stars":
        return fill([*label, (f" ‹ {shown or 'not judged'} › ", "reversed")], columns)
    room = max(1, columns - LABEL - 5)
    first = max(0, cursor - room + 1)
    while first < cursor and width(shown[first:cursor]) > room - 1:
        first += 1
    before, under = shown[first:cursor], shown[cursor : cursor + 1] or " "
    after = shown[cursor + 1 : first + room]
    ends = (" ‹ ", " › ") if entry.options else (" ", " ")
    return fill(
        [*label, (ends[0] + before, "reversed"), (under, "text"), (after + ends[1], "reversed")], columns
    )
