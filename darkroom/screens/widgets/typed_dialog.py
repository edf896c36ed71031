"""A dialog with one line to type in: its keys are those of a form, as the key map has them."""

from __future__ import annotations

from abc import abstractmethod

from textual import events

from darkroom.screens.widgets.dialog import Dialog
from darkroom.screens.widgets.form import Form, FormKeys


class TypedDialog(Dialog):
    """Gives what was typed or chosen, or None. Subclasses make `form` and say what its keys do."""

    form: Form

    def on_mount(self) -> None:
        """Take the keys as the key map has them in a form."""
        self.keys = FormKeys(self.session)
        super().on_mount()

    def on_key(self, event: events.Key) -> None:
        """Take every key: enter gives the answer where there is one, escape closes, the others are typed."""
        event.stop()
        event.prevent_default()
        key = self.keys.key_for_form(event)
        if key == "escape":
            self.dismiss(None)
            return
        if key == "enter":
            answer = self.answer()
            if answer is not None:
                self.dismiss(answer)
                return
        elif key is not None:
            self.pressed(key, event.character)
        self.draw()

    def on_paste(self, event: events.Paste) -> None:
        """Type what is pasted."""
        event.stop()
        self.form.paste(event.text)
        self.typed_anew()
        self.draw()

    @abstractmethod
    def answer(self) -> str | None:
        """Return what enter gives, None where nothing can be given yet."""

    @abstractmethod
    def pressed(self, key: str, character: str | None) -> None:
        """Do what a key does that is neither enter nor escape."""

    def typed_anew(self) -> None:
        """Do what follows from another text in the line."""
