"""An application that shows how many handfuls it got: the floor of answering a strike.

A handful is every key within 60 ms of its first (`darkroom/session/strikes.py`): whoever waits for wet
gloves waits so long.
"""

from __future__ import annotations

from textual import events
from textual.app import App, ComposeResult
from textual.widgets import Static

GATHERED = 0.06
"""Seconds from the first key of a handful to its end."""


class GatheredEcho(App[None]):
    """One line."""

    count = 0
    gathers = False

    def compose(self) -> ComposeResult:
        """Lay out the line."""
        yield Static("keys 0", id="line")

    def on_key(self, event: events.Key) -> None:
        """Begin a handful."""
        if not self.gathers:
            self.gathers = True
            self.set_timer(GATHERED, self.act)

    def act(self) -> None:
        """Count a handful."""
        self.gathers = False
        self.count += 1
        self.query_one("#line", Static).update(f"keys {self.count}")


if __name__ == "__main__":
    GatheredEcho().run(mouse=False)
