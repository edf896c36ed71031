"""Shows the verdicts on the keys it gets; the strike tests run it in a terminal.

Its file has a line for each key, for each look at what is due, and for each verdict, as they came.

python strike_app.py FILE
"""

from __future__ import annotations

import json
import sys
import time

from darkroom.screens.red.terminal import prepare_environment, red_terminal

prepare_environment()

from textual import events  # noqa: E402
from textual.timer import Timer  # noqa: E402
from textual.widgets import Static  # noqa: E402

from darkroom.screens.red.red_app import RedApp  # noqa: E402
from darkroom.session.key_map import NUDGES, KeyMap  # noqa: E402
from darkroom.session.strikes import Recogniser, Verdict  # noqa: E402


class StrikeApp(RedApp):
    """One line that counts, one that tells the last verdict."""

    def __init__(self, path: str) -> None:
        """Write to `path`."""
        super().__init__()
        self.file = open(path, "a", buffering=1)  # noqa: SIM115  # open as long as the program
        self.recogniser = Recogniser(KeyMap().zone_of, NUDGES)
        self.timer: Timer | None = None
        self.count = 0

    def compose(self):  # type: ignore[no-untyped-def]
        """Lay out the lines."""
        yield Static("READY", id="said")
        yield Static("0", id="count")

    def on_mount(self) -> None:
        """Draw as often as a clock would."""
        self.set_interval(0.1, self.tick)

    def tick(self) -> None:
        """Count."""
        self.count += 1
        self.query_one("#count", Static).update(str(self.count))

    def on_key(self, event: events.Key) -> None:
        """Take a key with the time at which it was read."""
        event.stop()
        event.prevent_default()
        print(json.dumps(["key", event.time, event.key]), file=self.file)
        self.tell(self.recogniser.key(event.key, event.time))
        self.wait()

    def wait(self) -> None:
        """Wake when the handful is gathered."""
        due = self.recogniser.next_due()
        if self.timer is not None:
            self.timer.stop()
            self.timer = None
        if due is not None:
            self.timer = self.set_timer(max(0.001, due - time.monotonic()), self.due)

    def due(self) -> None:
        """Decide what is due."""
        now = time.monotonic()
        print(json.dumps(["due", now]), file=self.file)
        self.tell(self.recogniser.due(now))
        self.wait()

    def tell(self, verdicts: list[Verdict]) -> None:
        """Show and write verdicts."""
        for verdict in verdicts:
            what = [type(verdict).__name__, verdict.up, getattr(verdict, "zone", None)]
            print(json.dumps(["verdict", *what]), file=self.file)
            self.query_one("#said", Static).update(f"{what[0]} {what[2]} {self.count}")


if __name__ == "__main__":
    app = StrikeApp(sys.argv[1])
    with red_terminal():
        app.run()
    sys.exit(app.return_code or 0)
