"""An application with one line that tells the time ten times a second: the floor of counting."""

from __future__ import annotations

import time

from textual.app import App, ComposeResult
from textual.widgets import Static


class ClockApp(App[None]):
    """One line."""

    def compose(self) -> ComposeResult:
        """Lay out the line."""
        yield Static("0.0", id="clock")

    def on_mount(self) -> None:
        """Begin to count."""
        self.begun = time.monotonic()
        self.line = self.query_one("#clock", Static)
        self.set_interval(0.1, self.tick)

    def tick(self) -> None:
        """Tell the time."""
        self.line.update(f"{time.monotonic() - self.begun:.1f}")


if __name__ == "__main__":
    ClockApp().run(mouse=False)
