"""Judging a plate: a form like the home screen's, over what stands now. Enter saves, escape leaves.

What is saved are new lines of the plate's journal, and only for what changed. What cannot be saved stays
typed. The faults to choose from are read in a thread: until they are there their names are just words.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Sequence
from pathlib import Path

from textual import events

from darkroom import resources
from darkroom.devices.clock import stamp
from darkroom.errors import DarkroomError
from darkroom.faults.catalogue import Catalogue
from darkroom.log.journal import append
from darkroom.log.plate.marks import marks
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.plate.picture import look, path_of
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.log.review.judgement import change_builders, combined_builder, standing
from darkroom.process.text.plain_text import plain
from darkroom.screens.judging.fault_fields import LISTED, list_of, step_named
from darkroom.screens.judging.fields import JudgementFields, fields_of, judgement_of
from darkroom.screens.judging.judgement_field import JudgementField
from darkroom.screens.widgets.form import Field, Form
from darkroom.screens.widgets.form_page import FormPage
from darkroom.screens.widgets.pick_list import PickList
from darkroom.screens.widgets.rows import Row, fill
from darkroom.screens.widgets.wrapped_text import wrapped

LABEL = 14
"""The cells of a field's name."""


class JudgingScreen(FormPage):
    """The judgement of the plate whose first file is `path`.

    `advised` is what the tests say to do that were advised for it: what they showed is asked.
    """

    def __init__(self, path: Path, advised: Sequence[str] = ()) -> None:
        super().__init__()
        self.path = path
        self.record: PlateRecord = read_record(path)
        exposure = self.record.exposure_stage
        unseen = exposure is not None and exposure.unseen
        moments = marks(self.record)
        self.mark_words, trouble = resources.mark_words(self.tool.services.home) if moments else ((), None)
        self.judgement: JudgementFields = fields_of(
            standing(self.record.log),
            unseen=unseen,
            strips=(exposure.strips if exposure is not None else None) or (),
            marks=moments,
            mark_words=self.mark_words,
            advised=advised,
        )
        self.message = plain(trouble) if trouble else ""
        self.form = Form(self.judgement.entries)
        self.leaving = False
        self.saving = False
        """The disk has it: the clocks of a live bench do not wait for a slow card."""
        self._lettered: Field | None = None
        """The field into which letters were typed last: there space is a space."""

    def on_mount(self) -> None:
        """Draw, and read the faults to choose from."""
        super().on_mount()
        tool, home = self.tool, self.tool.services.home

        def read() -> None:
            catalogue, wrong = resources.fault_catalogue(home)
            tool.from_thread(lambda: self._take_catalogue(catalogue, wrong))

        threading.Thread(target=read, name="faults", daemon=True).start()

    def _take_catalogue(self, catalogue: Catalogue, wrong: Sequence[str]) -> None:
        if not self.is_attached:
            return
        self.judgement.take_catalogue(catalogue)
        self.form.put(self.form.current.id, self.form.current.value)
        if wrong and not self.message:
            self.message = plain(wrong[0]) + (f" (and {len(wrong) - 1} more)" if len(wrong) > 1 else "")
        self.draw()

    # --- keys ------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Take a key; one that was on its way while a list was being opened is for the list."""
        above = self.app.screen
        if isinstance(above, PickList):
            event.stop()
            event.prevent_default()
            above.post_message(events.Key(event.key, event.character))
            return
        super().on_key(event)

    def pressed(self, key: str, character: str | None) -> bool:
        """Move, choose, type; enter saves; escape asks when something was typed."""
        if self.saving:
            self.message = "saving …"
            return True
        leaving, self.leaving = self.leaving, False
        if key == "enter":
            self.save()
        elif key == "escape":
            if leaving or not self.judgement.changed:
                return False
            self.leaving = True
            self.message = "what was typed is not saved: escape again leaves it, enter saves"
        elif key == "space" and self._has_list():
            self._open_list()
        elif key == "space" and self._is_blank():
            self.message = "the faults to choose from are not there yet"
        elif key == "space" and self.form.current.closed:
            self.message = "left and right choose"  # a space that was meant for a list answers nothing
        elif key in ("left", "right") and self._step_fault(key):
            self.judgement.grow()
        else:
            self.form.key(key, character)
            letters = character is not None and character.isprintable()
            self._lettered = self.form.current if letters else None
            self.judgement.grow()
        return True

    def _step_fault(self, key: str) -> bool:
        """Do what left and right do with a fault that is named; return whether that is all they do there."""
        field = self.form.current
        if not isinstance(field, JudgementField):
            return False
        entries, catalogue = self.judgement.entries, self.judgement.catalogue
        stepped = step_named(field, entries, catalogue, key, self.form.cursor)
        if stepped is not None:
            self.form.cursor, self.message = stepped
        return stepped is not None

    def _has_list(self) -> bool:
        """Return whether space opens the list of the field: not where words are being typed."""
        field = self.form.current
        listed = isinstance(field, JudgementField) and field.kind in LISTED and len(field.options) > 1
        chosen = field.value in field.options and (field.closed or field is not self._lettered)
        return listed and (chosen or self._is_blank())

    def _is_blank(self) -> bool:
        """Return whether nothing is typed in a field that has a list, or will have one."""
        field = self.form.current
        return isinstance(field, JudgementField) and field.kind in LISTED and not field.value.strip()

    def _open_list(self) -> None:
        field = self.form.current
        assert isinstance(field, JudgementField)
        title, picks, own = list_of(field, self.judgement.catalogue)

        def chosen(value: str | None) -> None:
            if value is not None and self.is_attached:
                self.form.put(field.id, value)
                self.form.cursor = len(value)
                self.judgement.grow()
                self.draw()

        self.tool.push_screen(PickList(title, picks, field.value, own), chosen)

    def leave_refused(self) -> str:
        """What was typed is never lost to a function key."""
        if self.saving:
            return "saving …"
        return (
            "what was typed is not saved: enter saves it, escape leaves it" if self.judgement.changed else ""
        )

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text is typed."""
        self.form.paste(event.text)
        self._lettered = self.form.current
        self.judgement.grow()
        self.draw()

    # --- saving ----------------------------------------------------------------------------------

    def save(self) -> None:
        """Write what changed and close; what is wrong, or refused, is said and stays typed."""
        judgement, mistakes = judgement_of(self.judgement)
        if not self.form.show_mistakes(mistakes):
            return
        reason = self.judgement.at("reason").value.strip() or None
        log = self.record.log
        try:
            builders = (
                change_builders(log, judgement, reason, stamp(time.time())) if self.judgement.changed else []
            )
        except DarkroomError as error:
            self.message = plain(str(error))
            return
        if not builders:
            self.dismiss(None)
            return
        tool = self.tool
        home, build = tool.services.home, combined_builder(self.path, log, builders)
        picture = self.judgement.at(PICTURE)
        new_picture = picture.value if picture.value != picture.was and picture.value.strip() else None

        new_words = [
            field.value
            for field in self.judgement.entries
            if field.kind == "mark" and field.value.strip() and field.value not in field.options
        ]

        def write() -> None:
            problem, about_picture = "", new_picture is not None
            try:
                if new_picture is not None:
                    look(path_of(new_picture))
                about_picture = False
                append.add_all(home, self.path, build)
                not_kept = keep_words(home, new_words)
                tool.from_thread(lambda: tool.say_quietly("words", not_kept))
            except (DarkroomError, OSError) as error:
                problem = plain(str(error))
            tool.from_thread(lambda: self._saved(problem, PICTURE if about_picture else None))

        self.saving = True
        self.message = "saving …"
        threading.Thread(target=write, name="judge").start()

    def _saved(self, problem: str, field: str | None) -> None:
        """Close, or say why nothing was saved, at the field that is to blame; what is typed stays."""
        self.saving = False
        if not self.is_attached:
            return
        if not problem:
            self.dismiss(None)
            return
        self.message = ""
        if field is None:
            self.message = problem
        else:
            self.form.show_mistakes({field: problem})
        self.draw()

    # --- drawing -----------------------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """The plate, and whether anything was typed."""
        process = plain(self.record.process or "")
        return f"JUDGE {self.record.title.upper()}  {process}", "changed" if self.judgement.changed else ""

    def keys(self) -> list[tuple[str, str]]:
        """What can be done here."""
        listed = [("space", "list")] if self._has_list() else []
        return [("enter", "save"), *listed, ("up down", "move"), ("left right", "choose")]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The fields around the one under the hand; below them what is to be typed, or what is wrong."""
        return page(self.form, columns, rows)


def keep_words(home: Path, new_words: Sequence[str]) -> str | None:
    """Keep words for marks for the next time; return why not, or None: the journal has them all the same."""
    try:
        for words in new_words:
            resources.keep_mark_words(home, words)
    except DarkroomError as error:
        return f"words not kept for the next time: {plain(str(error))}"
    return None


def page(form: Form, columns: int, rows: int) -> list[Row]:
    """Return `rows` rows of `columns` cells: the fields in sight, and what is said of the one under the hand.

    That takes as many rows as it needs where there is room, else one.
    """
    field = form.current
    previous_value = (
        "" if field.value == field.was or not field.was else f"  Stood: {_shown(field, field.was)}"
    )
    told = wrapped(form.mistake or field.hint, max(8, columns))[: max(1, rows // 4)]
    help_rows: list[Row] = [[(line, "loud" if form.mistake else "text")] for line in told]
    help_rows[-1].append((previous_value, "quiet"))
    room = max(1, rows - 1 - len(help_rows))
    field_rows = [_line(form, entry, columns) for entry in form.fields[form.window(room)]]
    field_rows += [fill([], columns)] * (room - len(field_rows))
    return [*field_rows, fill([], columns), *(fill(row, columns) for row in help_rows)][:rows]


def _shown(field: Field, value: str) -> str:
    return plain(value if field.show is None else field.show(value))


def _line(form: Form, field: Field, columns: int) -> Row:
    label: Row = [
        ("* " if field.value != field.was else "  ", "loud"),
        (f"{field.label:<{LABEL - 2}} ", "text" if field is form.current else "quiet"),
    ]
    return form.line(field, label, columns)
