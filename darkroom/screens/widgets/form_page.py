"""A page that is one form: the key map's keys have their work in it."""

from __future__ import annotations

from textual import events

from darkroom.screens.widgets.form import FormKeys
from darkroom.screens.widgets.page import Page


class FormPage(Page):
    """A page whose keys are those of a form."""

    def __init__(self) -> None:
        super().__init__()
        self.form_keys = FormKeys(self.tool.session)

    def on_key(self, event: events.Key) -> None:
        """Give the key map's keys their work in a form: those of go are enter, those that go back escape."""
        key = self.form_keys.key_for_form(event)
        if key is None:
            event.stop()
            event.prevent_default()
            return
        event.key = key
        super().on_key(event)
