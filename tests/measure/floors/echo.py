"""An application that shows how many keys it got: the floor of answering a key."""

from __future__ import annotations

from textual import events
from textual.app import App, ComposeResult
from textual.widgets import Static


class Echo(App[None]):
    """One line."""

    count = 0

    def compose(self) -> ComposeResult:
        """Lay out the line."""
        yield Static("keys 0", id="line")

    def on_key(self, event: events.Key) -> None:
        """Count a key."""
        self.count += 1
        self.query_one("#line", Static).update(f"keys {self.count}")


if __name__ == "__main__":
    Echo().run(mouse=False)
