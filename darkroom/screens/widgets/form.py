"""A form: fields as data, the one under the hand, what its keys do, and how a field is drawn.

A screen makes its list of `Field`, gives the keys it gets to `FormKeys` and then to `Form.key`, and draws
`Form.line` where it wants each field. A field is typed, or one of its options, or both (a pick list). What is
typed is checked when the field is left and when the form is sent; a mistake that is shown is checked again at
each key.

The form is no widget: a screen draws it with all else in the one widget it has. With the toolkit's `Input`
for each typed field of the home screen the first frame came 53 ms later (432 ms instead of 379 ms, medians of
15 starts each, 120 × 40).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct
from textual import events

from darkroom.errors import DarkroomError
from darkroom.screens.widgets.line_edit import edited
from darkroom.screens.widgets.rows import Row, fill, width
from darkroom.session.key_map import form_key
from darkroom.session.session import Session

EMPTYING = ("backspace", "delete", "ctrl+u")
"""The keys that empty a field which cannot be typed."""


class Field(Struct, eq=False):
    """One field. `was` is the value that needs no check, since it was there before.

    `options` are what left and right go through; `closed` says that nothing else can be typed. `check` raises
    DarkroomError for a text that cannot be read. `show` gives what a closed field shows for its value, and
    `empty` is shown under the hand without one. `assumed` is what holds while nothing is typed; it stands in
    the empty field, quiet. `max_length` is the longest text, in characters.
    """

    id: str
    label: str
    hint: str = ""
    value: str = ""
    was: str = ""
    options: Sequence[str] = ()
    closed: bool = False
    check: Callable[[str], object] | None = None
    show: Callable[[str], str] | None = None
    empty: str = ""
    assumed: str = ""
    max_length: int = 200

    def mistake(self) -> str | None:
        """Return why the value cannot be read, or None."""
        if self.check is None or self.value == self.was or not self.value.strip():
            return None
        try:
            self.check(self.value)
        except DarkroomError as error:
            return str(error)
        return None


class FormKeys:
    """The keys of one form, as the key map has them; a key that is still held when it opens does nothing."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._begun = False

    def key_for_form(self, event: events.Key) -> str | None:
        """Return the key that the form takes, "enter" for one of go that types nothing; None for none.

        Escape acts once however long it is held: a second one may forget what was typed. What is left of the
        strike that opened the form, or answered a list over it, types nothing.
        """
        recogniser, now = self._session.recogniser, self._session.real_clock.up_at(event.time)
        key = form_key(recogniser.zone_of, event.key, event.is_printable)
        acts = key in ("enter", "escape")
        if not acts and recogniser.goes_on(event.key, now):
            recogniser.taken_elsewhere(event.key, now)
            return None
        fresh = recogniser.taken_elsewhere(event.key if acts else "", now)
        if not fresh and not (key == "enter" and self._begun):
            return None
        self._begun = True
        return key

    def note_typing(self) -> None:
        """Note that a text was changed by a key which the toolkit took."""
        self._session.recogniser.taken_elsewhere("", self._session.real_clock.up())
        self._begun = True


class Form:
    """The fields of a form and the place of the hand in them. `fields` may grow while it is open."""

    def __init__(self, fields: Sequence[Field]) -> None:
        self.fields = fields
        self.current = fields[0]
        self.cursor = len(self.current.value)
        self.mistakes: dict[str, str] = {}
        """{field id: what is wrong with it}, for what was left or sent."""

    def at(self, name: str) -> Field:
        """Return the field of this id."""
        return next(field for field in self.fields if field.id == name)

    @property
    def active(self) -> int:
        """The place of the field under the hand."""
        return self.fields.index(self.current)

    @property
    def mistake(self) -> str | None:
        """What is wrong with the field under the hand, where that is known."""
        return self.mistakes.get(self.current.id)

    def go_to(self, place: int) -> None:
        """Check the field that is left and go to another; beyond an end comes the other end."""
        self._check(self.current)
        self.current = self.fields[place % len(self.fields)]
        self.cursor = len(self.current.value)

    def take_fields(self, fields: Sequence[Field]) -> None:
        """Take other fields in place of these; the hand stays on its own where that is among them."""
        self.fields = fields
        if self.current not in fields:
            self.current, self.cursor = fields[0], len(fields[0].value)

    def put(self, name: str, value: str) -> None:
        """Give a field a value from elsewhere."""
        field = self.at(name)
        field.value = value
        self.mistakes.pop(name, None)
        if field is self.current:
            self.cursor = min(self.cursor, len(value))

    def check(self) -> bool:
        """Check every field; go to the first that cannot be read. Return whether all can."""
        self.mistakes = {}
        for field in self.fields:
            self._check(field)
        return self.show_mistakes(self.mistakes)

    def show_mistakes(self, mistakes: dict[str, str]) -> bool:
        """Take {field id: what is wrong}; go to the first field of it. Return whether there is none."""
        self.mistakes = dict(mistakes)
        for field in self.fields:
            if field.id in self.mistakes:
                self.current, self.cursor = field, len(field.value)
                return False
        return True

    def _check(self, field: Field) -> None:
        mistake = field.mistake()
        if mistake is None:
            self.mistakes.pop(field.id, None)
        else:
            self.mistakes[field.id] = mistake

    # --- keys ------------------------------------------------------------------------------------

    def key(self, key: str, character: str | None) -> None:
        """Move, choose or type."""
        match key:
            case "up" | "shift+tab":
                self.go_to(self.active - 1)
            case "down" | "tab":
                self.go_to(self.active + 1)
            case "pageup":
                self.go_to(0)
            case "pagedown":
                self.go_to(len(self.fields) - 1)
            case _:
                self._edit(key, character)

    def paste(self, text: str) -> None:
        """Type the first line of a pasted text."""
        for character in text.splitlines()[0] if text else "":
            self._edit("", character)

    def _edit(self, key: str, character: str | None) -> None:
        field = self.current
        if field.options and (key in ("left", "right") or (field.closed and key == "space")):
            self._choose_next(-1 if key == "left" else 1)
        elif not field.closed:
            field.value, self.cursor = edited(field.value, self.cursor, key, character, field.max_length)
        elif character is not None and character in field.options:
            field.value = character
        elif key in EMPTYING and "" in field.options:
            field.value = ""
        if field.id in self.mistakes:
            self._check(field)

    def _choose_next(self, by: int) -> None:
        field = self.current
        options = field.options
        place = options.index(field.value) + by if field.value in options else (by - 1) // 2
        field.value = options[place % len(options)]
        self.cursor = len(field.value)

    # --- drawing ---------------------------------------------------------------------------------

    def window(self, rows: int) -> slice:
        """Return the fields that `rows` rows show, one each: those around the hand."""
        first = max(0, min(self.active - rows // 2, len(self.fields) - rows))
        return slice(first, first + rows)

    def line(self, field: Field, label: Row, columns: int) -> Row:
        """Return a field as one row of `columns` cells: label, then value, reversed under the hand."""
        text = "".join(sign if sign.isprintable() else " " for sign in field.value)
        value_text = field.show(text) if field.show is not None and text else text
        if field is not self.current and not value_text:
            return fill([*label, (field.assumed, "quiet")], columns)
        if field is not self.current:
            return fill([*label, (value_text, "loud" if field.id in self.mistakes else "text")], columns)
        if field.closed:
            shown = f" ‹ {value_text or field.empty} › "
            too_wide = width(shown) > columns - sum(width(part) for part, _ in label)
            return fill([*label, (shown[:-1] if too_wide else shown, "reversed")], columns)
        ends = (" ‹ ", " › ") if field.options else (" ", " ")
        used_cells = sum(width(label_text) for label_text, _ in label) + sum(map(width, ends))
        room = max(1, columns - used_cells)
        cursor = min(self.cursor, len(text))
        first = max(0, cursor - room + 1)
        while first < cursor and width(text[first:cursor]) > room - 1:
            first += 1
        before, under = text[first:cursor], text[cursor : cursor + 1] or " "
        after = text[cursor + 1 : first + room]
        if first and before:  # a list of times that is cut would read as another list
            before = "…" + before[1:]
        if len(text) > first + room and after:
            after = after[:-1] + "…"
        if not text and field.assumed:
            ends_row: Row = [(ends[0], "reversed"), (under, "text"), (ends[1], "reversed")]
            return fill([*label, *ends_row, (f" {field.assumed}", "quiet")], columns)
        return fill(
            [*label, (ends[0] + before, "reversed"), (under, "text"), (after + ends[1], "reversed")], columns
        )
