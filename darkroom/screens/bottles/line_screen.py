"""A line of a bottle, or a new bottle, entered in a form; what must be said of it comes before it is written.

Enter saves, escape leaves. What cannot be saved stays typed.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from datetime import datetime

from textual import events

from darkroom.devices.clock import stamp
from darkroom.errors import DarkroomError
from darkroom.process.text.plain_text import plain
from darkroom.screens.bottles import line_kinds
from darkroom.screens.bottles.asking import HELD, Known
from darkroom.screens.bottles.line_fields import fit_recipes, line_fields, new_fields
from darkroom.screens.bottles.new_bottle import new_bottle
from darkroom.screens.bottles.remarks import remarks
from darkroom.screens.bottles.said import ASKED, Entry, Said
from darkroom.screens.bottles.topping import FIELD_OF, reckoned
from darkroom.screens.widgets.form import Field, Form
from darkroom.screens.widgets.form_page import FormPage
from darkroom.screens.widgets.rows import Row
from darkroom.screens.widgets.wrapped_text import wrapped
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.topping_up import NotSaid

LABEL = 14
"""The cells of a field's name."""
MOST_HELP = 3
"""What is to be typed, or is wrong, takes no more rows."""
TOO_SMALL = "make the screen larger: what must be said first does not fit on it"


def local_now() -> datetime:
    """Return the time of the wall clock, in the zone of this machine."""
    return datetime.fromisoformat(stamp(time.time()))


class LineScreen(FormPage):
    """A line of this kind for a bottle, a new one where it is None; `saved` is told what was entered.

    `place` is that of the line which a withdrawal takes back.
    """

    def __init__(
        self,
        kind: str,
        bottle: Bottle | None,
        known: Known,
        saved: Callable[[str], None],
        place: str = "",
    ) -> None:
        super().__init__()
        self.kind, self.bottle, self.known, self.saved = kind, bottle, known, saved
        fields = (
            new_fields(known, local_now)
            if bottle is None
            else line_fields(kind, bottle, known, local_now, place)
        )
        self.form = Form(fields)
        self.said: tuple[Said, ...] = ()
        """What is said before the lines are written; the hand answers it."""
        self.asked = ASKED
        """What is asked with that."""
        self.said_is_seen = False
        """Whether the screen showed all of it."""
        self._last_enter = 0.0
        self.leaving = False
        self.saving = False
        """The disk has it: the clocks of a live bench do not wait for a slow card."""

    @property
    def values(self) -> dict[str, str]:
        """What stands in each field: {field id: text}."""
        return {field.id: field.value for field in self.form.fields}

    @property
    def changed(self) -> bool:
        """Whether anything was typed."""
        return any(
            field.value.strip() and field.value != field.was for field in self.form.fields if not field.closed
        )

    # --- keys ------------------------------------------------------------------------------------

    def pressed(self, key: str, character: str | None) -> bool:
        """Move, choose, type; enter saves, and asks first where something must be said."""
        if self.saving:
            self.message = "saving …"
            return True
        leaving, self.leaving = self.leaving, False
        if key == "enter":
            now = self.tool.session.real_clock.up()
            held, self._last_enter = now - self._last_enter < HELD, now
            if self.said and not self.said_is_seen:
                self.message = TOO_SMALL
            elif self.said and held:
                self.message = self.asked
            else:
                self.save()
        elif key == "escape":
            if leaving or not self.changed:
                return False
            self.leaving = True
            self.message = "what was typed is not saved: escape again leaves it, enter saves"
        else:
            before = self.values
            self.form.key(key, character)
            if self.values != before:
                self.said = ()
                fit_recipes(self.form, self.known)
        return True

    def leave_refused(self) -> str:
        """What was typed is never lost to a function key."""
        if self.saving:
            return "saving …"
        return "what was typed is not saved: enter saves it, escape leaves it" if self.changed else ""

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text is typed."""
        self.form.paste(event.text)
        self.said = ()
        self.draw()

    # --- saving ----------------------------------------------------------------------------------

    def save(self) -> None:
        """Write the line and close; what must be said is said first, what is wrong stays typed."""
        if not self.form.check() or not self.form.show_mistakes(line_kinds.missing(self.kind, self.values)):
            return
        now = local_now()
        try:
            bottle_id, entry = self._entry(now)
        except NotSaid as error:
            self.form.show_mistakes({FIELD_OF.get(error.what, error.what): plain(str(error))})
            return
        except DarkroomError as error:
            self.message = plain(str(error))
            return
        if entry.said and (self.said != entry.said or not entry.lines):
            self.said, self.asked = entry.said, entry.asked
            self.message = self.asked
            return
        self._write(bottle_id, entry)

    def _entry(self, now: datetime) -> tuple[str, Entry]:
        """Return the bottle's id and what the form comes to. Raises DarkroomError."""
        bottle, known = self.bottle, self.known
        if bottle is not None and self.kind == "top up":
            return bottle.id, reckoned(self.values, bottle, known, now)
        if bottle is None:
            bottle_id, line = new_bottle(self.values, known, now, self.tool.services.bench_id)
        else:
            bottle_id, line = bottle.id, line_kinds.line(self.kind, self.values, bottle, known, now)
        return bottle_id, Entry((line,), tuple(map(Said, remarks(bottle, line, known, now))))

    def _write(self, bottle_id: str, entry: Entry) -> None:
        tool = self.tool
        home, bench = tool.services.home, tool.services.bench_id

        def write() -> None:
            from darkroom.log.bottles.files import append

            at = stamp(time.time())

            def saved(bottle: str, *lines: line_kinds.Line) -> str:
                """Write lines of a bottle; return why they are not saved, or nothing."""
                try:
                    append(
                        home, bottle, bench, lambda n: [one.event(k, at) for k, one in enumerate(lines, n)]
                    )
                except Exception as error:  # whatever it is, it is said, and the form lets the hand go
                    return plain(str(error)) or type(error).__name__
                return ""

            problem = saved(bottle_id, *entry.lines)
            others: list[str] = []
            for other, name, line in () if problem else entry.elsewhere:
                wrong = saved(other, line)
                words = line_kinds.words_of(line, self.known)
                others.append(f"{name}: {f'not saved, {wrong}' if wrong else words}")
            tool.from_thread(lambda: self._written(problem, entry, others))

        self.saving = True
        self.message = "saving …"
        threading.Thread(target=write, name="bottle line").start()

    def _written(self, problem: str, entry: Entry, others: list[str]) -> None:
        """Close, or say why nothing was saved; what is typed stays."""
        self.saving = False
        if not problem:
            self.tool.services.bottles.ask(self.tool.from_thread)  # the bench chooses from what is in use now
            words = [
                text
                for one in entry.lines
                for text in (line_kinds.words_of(one, self.known, self.bottle), one.remark)
            ]
            self.saved("saved: " + "; ".join(filter(None, [*words, *others])))
        if not self.is_attached:
            return
        if problem:
            self.message = problem
            self.draw()
        else:
            self.dismiss(None)

    # --- drawing -----------------------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """The bottle, and what is entered for it."""
        return line_kinds.title(self.kind, self.bottle), ""

    def keys(self) -> list[tuple[str, str]]:
        """What can be done here."""
        return [
            ("enter", "what to add" if self.kind == "top up" and not self.said else "save"),
            ("up down", "move"),
            ("left right", "choose"),
        ]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The fields around the one under the hand; below them what must be said, or what is to be typed."""
        form = self.form
        field = form.current
        said: list[Row] = [
            [(f" {line}", one.kind)] for one in self.said for line in wrapped(one.text, max(8, columns - 2))
        ]
        helped: list[Row] = [
            [(line, "loud" if form.mistake else "text")]
            for line in wrapped(form.mistake or field.hint, columns)
        ][:MOST_HELP]
        self.said_is_seen = len(said) + 2 + len(helped) <= rows
        room = max(1, min(len(form.fields), rows - 1 - len(helped) - len(said)))
        shown = [self._line(one, columns) for one in form.fields[form.window(room)]]
        shown.append([])
        shown += said
        above = max(1, rows - len(helped))
        return [*shown[:above], *([[]] * (above - len(shown))), *helped]

    def _line(self, field: Field, columns: int) -> Row:
        label = f"  {field.label:<{LABEL - 2}} "
        return self.form.line(field, [(label, "text" if field is self.form.current else "quiet")], columns)
