"""Redraws a full screen as often as it can, until it is told to stand still: the stall tests run it.

python busy_app.py
Keys: `s` stands still, `r` paints every cell again.
"""

from __future__ import annotations

import sys

from darkroom.screens.red.terminal import prepare_environment, red_terminal

prepare_environment()

from textual import events  # noqa: E402
from textual.widgets import Static  # noqa: E402

from darkroom.screens.red.red_app import RedApp  # noqa: E402

ROWS = 20
"""Rows that change with each frame; the row under them says what was pressed last."""


class BusyApp(RedApp):
    """Rows of numbers, another one in each frame."""

    def __init__(self) -> None:
        """Begin at the first frame."""
        super().__init__()
        self.count = 0

    def compose(self):  # type: ignore[no-untyped-def]
        """Lay out the rows."""
        yield Static(id="rows")
        yield Static("READY", id="state")

    def on_mount(self) -> None:
        """Draw without pause."""
        self.timer = self.set_interval(1 / 30, self.tick)

    def tick(self) -> None:
        """Change every cell of every row."""
        self.count += 1
        row = str(self.count % 10) * 78
        self.query_one("#rows", Static).update("\n".join([row] * ROWS))

    def on_key(self, event: events.Key) -> None:
        """Stand still, or paint again."""
        if event.key == "s":
            self.timer.stop()
            self.query_one("#rows", Static).update("\n".join([f"still {row} " * 9 for row in range(ROWS)]))
            self.query_one("#state", Static).update("STANDS STILL")
        elif event.key == "r":
            self.repaint()


if __name__ == "__main__":
    app = BusyApp()
    with red_terminal():
        app.run()
    sys.exit(app.return_code or 0)
