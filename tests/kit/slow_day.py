"""A day of two plates worked over a slow line: a terminal that reads so many bytes a second, and answers."""

from __future__ import annotations

import signal
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.kit import cues_of_a_run, reporting_tool
from tests.kit.cues_heard import Due, HeardSound
from tests.kit.photographer import CHANGED, Photographer, shortened, stages_ahead
from tests.kit.sound_recording import Ear
from tests.kit.terminal import Terminal

BAUD = 9600
CALLS = frozenset({"start", "step", "end"})
"""The calls of an instant that the journals tell and that no hand makes."""


@dataclass
class SlowDay:
    """What was due, what was heard, what the player reported, and what the terminal showed."""

    home: Path
    due: list[Due]
    heard: list[HeardSound]
    reports: list[tuple[str, dict[str, Any]]]
    data: bytes
    seconds: float
    """From the start of the tool to its end."""


class PatientHand(Photographer):
    """Lets a plate clear for so long that what follows can be read on a slow line."""

    CLEARS = 12.0
    """Seconds."""

    def strike_until(self, text: str) -> None:
        """Strike go once the plate has cleared."""
        time.sleep(self.CLEARS)
        super().strike_until(text)

    def rack(self, plates: int) -> None:
        """Put the plates into the rack; look again when the line has brought the last."""
        for count in range(1, plates + 1):
            while f"rack {count}" not in self.terminal.whole_screen():
                self.called_to("RACK", "DRY")
                time.sleep(CHANGED)
                before = stages_ahead(self.home)
                self.press("space")
                with suppress(TimeoutError):  # refused: the large place had just changed; then again
                    self.terminal.wait_until(lambda: stages_ahead(self.home) != before, 3.0)  # noqa: B023
                    self.wait(f"rack {count}")


def process_file(folder: Path) -> Path:
    """Write the short process with times in which a slow line shows what is to be done."""
    path = shortened(folder)
    text = path.read_text(encoding="utf-8")
    for old, new in (
        ("lead_in: 1 s", "lead_in: 3 s"),
        ("time: 4 s", "time: 8 s"),
        ("time: 6 s", "time: 10 s"),
    ):
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    return path


def work(ear: Ear, folder: Path, env: dict[str, str], baud: int | None = BAUD) -> SlowDay:
    """Go through the sheet, make two plates that overlap, rack both, varnish one, leave.

    `ear` has listened to silence until now; `env` leads the player to the server. None for `baud` is a fast
    line.
    """
    home = folder / "home"
    home.mkdir()
    hand = PatientHand(home)
    hand.terminal = Terminal(120, 40, env={"DARKROOM_HOME": str(home), **env}, baud=baud, answers=True)
    hand.program = [sys.executable, reporting_tool.__file__, str(folder / "reports")]
    hand.listens = 1.0

    def reports() -> list[tuple[str, dict[str, Any]]]:
        return reporting_tool.reports(folder / "reports")

    with hand.terminal as terminal:
        hand.open("bench", str(process_file(folder)), "--exposure", "1s,2s", "--subject", "Jug and pear")
        terminal.wait_until(
            lambda: any(kind == "driver" and what["driver"] == "miniaudio" for kind, what in reports())
        )
        hand.wait(lambda screen: "the bell only" not in screen and "no sound" not in screen)
        hand.to_wash()
        hand.second_plate()
        hand.strike("sensitise")
        hand.strike("drain")
        while not hand.is_called_to("LIFT"):
            if hand.is_called_to("RACK", "DRY"):
                hand.press("space")
            hand.called_to("LIFT", "RACK", "DRY")
        hand.lift_to_wash()
        hand.rack(2)
        hand.varnish_from_rack()
        ear.capture.silence()
        seconds = time.monotonic() - terminal.started
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 128 + signal.SIGTERM
        data = terminal.data
    heard = [sound for sound in ear.heard() if not CALLS.isdisjoint(sound.names)]
    due = [call for call in cues_of_a_run.due(home) if call[1] in CALLS]
    return SlowDay(home, due, heard, reports(), data, seconds)
