"""A full-screen program that redraws all the time and has ticks played, to be run in a terminal.

`python redraw.py FILE BEGIN SPACING COUNT SEED`: COUNT ticks about SPACING seconds apart, the first
BEGIN seconds after the start; FILE gets a line for each cue (`cue UP`) and each report
(`report KIND JSON`).
"""

from __future__ import annotations

import json
import random
import sys
from pathlib import Path
from typing import Any

from textual.app import App, ComposeResult
from textual.widgets import Static

from darkroom.devices.clock import Clock
from darkroom.devices.sound.client import Sound

AHEAD, RENEW, FRAMES = 30.0, 5.0, 20


class Redraw(App[None]):
    """Fills the screen anew twenty times a second."""

    def __init__(self, path: Path, begin: float, spacing: float, count: int, seed: int) -> None:
        """Draw up the ticks and note them in the file."""
        super().__init__()
        self.up, self.rng = Clock().up, random.Random(seed)
        self.out = path.open("w", buffering=1)
        first = self.up() + begin
        self.cues: list[dict[str, Any]] = [
            {"up": first + spacing * (i + 0.1 * self.rng.random()), "name": "pip", "plate": 1}
            for i in range(count)
        ]
        for cue in self.cues:
            print("cue", cue["up"], file=self.out)
        self.sound = Sound(lambda kind, what: self.out.write(f"report {kind} {json.dumps(what)}\n"))
        self.over = self.cues[-1]["up"] + 2.5

    def compose(self) -> ComposeResult:
        """One widget fills the screen."""
        yield Static(id="all", markup=False)

    def on_mount(self) -> None:
        """Start the player and the timers."""
        self.sound.start()
        self.renew()
        self.set_interval(RENEW, self.renew)
        self.set_interval(1 / FRAMES, self.redraw)

    def renew(self) -> None:
        """Hand over what is due in the next 30 s."""
        now = self.up()
        self.sound.schedule([cue for cue in self.cues if now < cue["up"] <= now + AHEAD], AHEAD)

    def redraw(self) -> None:
        """Fill the screen anew; leave when the last tick is over."""
        width, height = self.size
        rows = ("".join(self.rng.choice("█▀▄ 01") for _ in range(width)) for _ in range(height))
        self.query_one("#all", Static).update("\n".join(rows))
        if self.up() > self.over:
            self.sound.close()
            self.exit()


if __name__ == "__main__":
    file, *numbers = sys.argv[1:]
    begin, spacing = map(float, numbers[:2])
    Redraw(Path(file), begin, spacing, int(numbers[2]), int(numbers[3])).run()
