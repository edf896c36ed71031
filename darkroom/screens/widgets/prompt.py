"""One line to type, over the bench, with the clocks going on."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from darkroom.errors import DarkroomError
from darkroom.screens.widgets.form import FormKeys
from darkroom.session.session import Session


class Prompt(ModalScreen[str | None]):
    """Asks for one line; gives the text, or None. `check_text` raises a DarkroomError for a wrong one."""

    CSS = """
    Prompt { align: center middle; }
    Prompt > Vertical { width: 72; max-width: 100%; height: auto; padding: 1 2; }
    Prompt Static { width: 100%; min-width: 8; height: auto; }
    """

    def __init__(
        self, title: str, value: str = "", hint: str = "", check_text: Callable[[str], object] | None = None
    ) -> None:
        super().__init__()
        self.heading, self.value, self.hint, self.check_text = title, value, hint, check_text

    @property
    def session(self) -> Session:
        """The session whose key map holds here."""
        return self.app.session  # type: ignore[attr-defined, no-any-return]

    def compose(self) -> ComposeResult:
        """Lay out the question, the line and the hint."""
        with Vertical():
            yield Static(Text(self.heading))
            yield Input(self.value, compact=True)
            yield Static(Text(self.hint or "Enter to keep, escape to leave as it was."), id="hint")

    def on_mount(self) -> None:
        """Take the keys as the key map has them."""
        self.keys = FormKeys(self.session)

    def on_input_changed(self, event: Input.Changed) -> None:
        """A key that was held when this opened has been let go."""
        if event.value != self.value:
            self.keys.note_typing()

    def on_key(self, event: events.Key) -> None:
        """Take what the line leaves: enter and escape, and the keys that the key map gives their work."""
        key = self.keys.key_for_form(event)
        if key is None or key in ("enter", "escape"):
            event.stop()
            event.prevent_default()
        if key == "escape":
            self.dismiss(None)
        elif key == "enter":
            self._submit(self.query_one(Input).value.strip())

    def _submit(self, text: str) -> None:
        """Give the text when it can be read; say what is wrong otherwise."""
        if text and self.check_text is not None:
            try:
                self.check_text(text)
            except DarkroomError as error:
                self.query_one("#hint", Static).update(Text(str(error)))
                return
        self.dismiss(text)
