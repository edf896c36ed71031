"""One line to type, over the bench, with the clocks going on."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from darkroom.errors import DarkroomError


class Prompt(ModalScreen[str | None]):
    """Asks for one line; gives the text, or None. `read` raises a DarkroomError for a wrong one."""

    CSS = """
    Prompt { align: center middle; }
    Prompt > Vertical { width: 72; max-width: 100%; height: auto; padding: 1 2; }
    Prompt Static { width: 100%; min-width: 8; height: auto; }
    """

    def __init__(
        self, title: str, value: str = "", hint: str = "", read: Callable[[str], object] | None = None
    ) -> None:
        super().__init__()
        self.heading, self.value, self.hint, self.read = title, value, hint, read

    def compose(self):  # type: ignore[no-untyped-def]
        """Lay out the question, the line and the hint."""
        with Vertical():
            yield Static(Text(self.heading))
            yield Input(self.value, compact=True)
            yield Static(Text(self.hint or "Enter to keep, escape to leave as it was."), id="hint")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Give the text when it can be read; say what is wrong otherwise."""
        text = event.value.strip()
        if text and self.read is not None:
            try:
                self.read(text)
            except DarkroomError as error:
                self.query_one("#hint", Static).update(Text(str(error)))
                return
        self.dismiss(text)

    def key_escape(self) -> None:
        """Leave it as it was."""
        self.dismiss(None)
