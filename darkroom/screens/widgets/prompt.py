"""One line to type, below the clocks of the bench."""

from __future__ import annotations

from collections.abc import Callable
from textwrap import wrap

from darkroom.screens.widgets.form import Field, Form
from darkroom.screens.widgets.rows import Row
from darkroom.screens.widgets.typed_dialog import TypedDialog

WIDEST = 64
"""The line to type in is no wider, in cells."""


class Prompt(TypedDialog):
    """Asks for one line; gives the text, or None. `check_text` raises a DarkroomError for a wrong one."""

    def __init__(
        self,
        title: str,
        value: str = "",
        hint: str = "",
        check_text: Callable[[str], object] | None = None,
        plate: str | None = None,
    ) -> None:
        super().__init__(plate)
        self.heading = title
        self.hint = hint or "Enter to keep, escape to leave as it was."
        self.form = Form([Field("line", "", self.hint, value, check=check_text)])

    @property
    def value(self) -> str:
        """The text as it is typed."""
        return self.form.current.value

    def answer(self) -> str | None:
        """Return the line where nothing is wrong with it."""
        return self.value.strip() if self.form.check() else None

    def pressed(self, key: str, character: str | None) -> None:
        """Type; there is no other field to go to."""
        if key not in ("up", "down", "tab", "shift+tab", "pageup", "pagedown"):
            self.form.key(key, character)

    def rows(self, columns: int, rows: int) -> list[Row]:
        """Return the question, the line, and what is wrong with it or may be typed."""
        title = self.other_plate + self.heading
        heading: list[Row] = [[(f" {line}", "loud")] for line in wrap(title, max(8, columns - 2))]
        cells = max(1, min(WIDEST, columns - 4))
        field = self.form.line(self.form.current, [], cells)
        typed = sum(len(text) for text, _ in field)
        line: Row = [(" › ", "text"), *self._padded(field, cells, typed)]
        mistake = self.form.mistake
        told = wrap(mistake or self.hint, max(8, columns - 2))
        foot: list[Row] = [[(f" {text}", "loud" if mistake else "text")] for text in told]
        gap: list[Row] = [[]] if rows >= len(heading) + len(foot) + 3 else []
        if rows < len(heading) + 1 + len(foot):
            heading, foot = heading[: max(0, rows - 2)], foot[:1]
        return [*heading, *gap, line, *gap, *foot]

    @staticmethod
    def _padded(field: Row, cells: int, typed: int) -> Row:
        """The line looks like one: its whole length is reversed, the place of the next letter is not."""
        while field and not field[-1][0].strip() and field[-1][1] == "text":
            typed -= len(field[-1][0])
            field = field[:-1]
        return [*field, (" " * max(0, cells - typed), "reversed")]
