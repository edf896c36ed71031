"""The help screen: what each key does, made from the one table of actions."""

from __future__ import annotations

from textwrap import wrap

from textual import events
from textual.widget import Widget

from darkroom.screens.host import HostScreen
from darkroom.screens.widgets.face import Face
from darkroom.screens.widgets.rows import Row, fill
from darkroom.session.actions import ACTIONS


class KeysScreen(HostScreen[None]):
    """A page; any key closes it."""

    def __init__(self) -> None:
        super().__init__()
        self.face = Face()

    def compose(self) -> list[Widget]:
        """Return the one widget."""
        return [self.face]

    def on_mount(self) -> None:
        """Draw the page."""
        self.draw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.draw()

    def on_key(self, event: events.Key) -> None:
        """Close."""
        event.stop()
        event.prevent_default()
        self.dismiss(None)

    def draw(self) -> None:
        """Paint the page."""
        tool = self.tool
        columns, rows = self.size.width, self.size.height
        if not columns or not rows:
            return
        help_rows: list[Row] = [[("KEYS", "loud")], []]
        keys = {action.id: tool.services.keys.names(action.zone) for action in ACTIONS}
        wide = max(map(len, keys.values())) + 2
        for action in ACTIONS:
            help_lines = wrap(action.help, max(20, columns - 14 - wide))
            help_rows.append(
                [
                    (f"{action.label:<14}", "text"),
                    (f"{keys[action.id]:<{wide}}", "loud"),
                    (help_lines[0], "text"),
                ]
            )
            help_rows += [[(" " * (14 + wide) + line, "text")] for line in help_lines[1:]]
        help_rows += [
            [],
            [("A handful of neighbouring keys is one press; a held key is one press.", "text")],
            [("Other keys do nothing, and say so softly. Any key closes this page.", "text")],
        ]
        page = [fill(line, columns) for line in help_rows[:rows]]
        self.face.put(page + [fill([], columns)] * (rows - len(page)), tool.style_of, tool.brightness_key)
