"""Two overlapping plates with a drifting thermometer and a real sound server; then everything is broken.

The sound server's null sink is recorded. Every cue that the journals say was due is looked for in the
recording, by correlation with the shipped WAVs, and must be the named one and no other. A cue of the
clock may be 80 ms from its instant: four times the p99 that the sound's own benchmark allows, since the
tool draws its screen meanwhile on a shared machine, and the recording's own clock is good to about 3 ms.
An answer to a strike comes 40 to 210 ms after its first key: 60 ms in which the keys of a handful
gather, the sound's buffer and blocks (together 130 ms at most by the benchmark), and the same 80 ms.
"""

from __future__ import annotations

import os
import re
import signal
import threading
import time
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from tests.kit import cues_of_a_run
from tests.kit.audit import audit
from tests.kit.photographer import CHANGED, Photographer, journal, run, shortened

WORKED = ["coat", "sensitise", "drain", "expose", "develop", "stop", "fix", "wash"]


def up() -> float:
    """Return the instant on the boot clock."""
    return time.clock_gettime(time.CLOCK_BOOTTIME)


def process_file(folder: Path) -> Path:
    """Write the short process with lead-ins long enough for a pip."""
    path = shortened(folder)
    text = path.read_text(encoding="utf-8")
    assert "lead_in: 1 s" in text
    path.write_text(text.replace("lead_in: 1 s", "lead_in: 2 s"), encoding="utf-8")
    return path


class Drift(threading.Thread):
    """A thermometer's file that warms by 0.3 °C every two seconds."""

    def __init__(self, path: Path) -> None:
        super().__init__(daemon=True)
        self.path, self.celsius, self.over = path, 18.0, threading.Event()
        self.written: list[float] = []
        self.write()

    def write(self) -> None:
        """Write the file as a careful program does: whole or not at all."""
        fresh = self.path.with_suffix(".new")
        fresh.write_text(f"{self.celsius:.1f} C\n")
        os.replace(fresh, self.path)
        self.written.append(round(self.celsius, 1))

    def run(self) -> None:
        """Drift until told to stop."""
        while not self.over.wait(2.0):
            self.celsius += 0.3
            self.write()


def player_of(process: int) -> int:
    """Return the process id of the tool's player."""
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                command = (entry / "cmdline").read_bytes().decode()
                parent = re.search(r"PPid:\t(\d+)", (entry / "status").read_text())
            except OSError:
                continue
            if "darkroom.devices.sound.player" in command and parent and int(parent[1]) == process:
                return int(entry.name)
    raise AssertionError("no player runs")


@pytest.mark.slow
@pytest.mark.skipif(
    not Path("/proc/self/status").exists(), reason="the player is found by /proc, which is Linux's"
)
def test_two_plates_heard_and_felt_then_everything_breaks(heard: tuple[Any, Any], tmp_path: Path) -> None:
    """Each due cue is heard at its time; a dead player, a lost thermometer, a deaf terminal are survived."""
    server, capture = heard
    home = tmp_path / "home"
    home.mkdir()
    drift = Drift(tmp_path / "bath.txt")
    (home / "settings.yaml").write_text(
        f"thermometers:\n  - source: bath\n    kind: file\n    path: {drift.path}\n    every: 1 s\n"
        "    smoothing: none\n    name: probe\n"
    )
    hand = Photographer(home, **server.env)
    hand.terminal.env["DARKROOM_HOME"] = str(home)
    hand.listens = 1.0
    with hand.terminal:
        hand.open("bench", str(process_file(tmp_path)), "--exposure", "1s,2s", "--subject", "Jug and pear")
        hand.terminal.wait_for(lambda screen: "the bell only" not in screen and "probe" not in screen, 10)
        time.sleep(1.5)
        drift.start()
        hand.to_wash()
        hand.second_plate()
        hand.strike("sensitise")
        hand.strike("drain")
        time.sleep(0.3)  # the answer is heard out

        assert hand.terminal.process is not None
        player = player_of(hand.terminal.process.pid)
        os.kill(player, signal.SIGKILL)
        killed = up()
        hand.wait("the sound player died", 5)
        drift.over.set()
        drift.join()
        drift.path.unlink()
        removed = up()
        hand.terminal.stop_reading()
        deaf = up()
        time.sleep(5.0)
        listening = up()
        hand.terminal.go_on_reading()
        hand.wait(f"bath thermometer: last {drift.written[-1]:.1f} °C at ", 10)
        assert "the sound player died" not in hand.terminal.screen()
        assert player_of(hand.terminal.process.pid) != player
        if "Wash is done" in hand.terminal.screen():
            time.sleep(CHANGED)
            hand.press("space")
        hand.called("Ready to lift")
        hand.lift_to_wash()
        hand.rack(2)
        time.sleep(0.5)
        hand.terminal.kill(signal.SIGTERM)
        assert hand.terminal.wait() == 128 + signal.SIGTERM
        assert audit(hand.terminal.data) == []

    cues = cues_of_a_run.due(home)
    before = [cue for cue in cues if cue[0] < killed]
    after = [cue for cue in cues if cue[0] > killed]
    for part in before, after:
        assert {name for _, name in part} == {"accepted", "pip", "start", "step", "end"}
    assert [name for at, name in cues if deaf < at < listening] == ["end"], "the bath ends while it is deaf"
    assert cues_of_a_run.missed(capture, cues) == []
    elsewhere = [(at - 0.3, name) for at, name in before]
    assert len(cues_of_a_run.missed(capture, elsewhere)) == len(elsewhere), "the ear hears what is not there"

    plates = journal(home)
    assert len(plates) == 2
    measured = [
        line
        for lines in plates
        for line in lines
        if line["event"] == "temperature" and line["from"] == "probe"
    ]
    values = [line["celsius"] for line in measured]
    assert len(values) >= 4 and max(values) - min(values) >= 0.5
    assert set(values) <= set(drift.written)
    assert all(line["up"] < removed + 1.5 for line in measured), "read after its file was gone"
    for lines in plates:
        assert [line["n"] for line in lines] == list(range(1, len(lines) + 1))
        assert [line["stage"] for line in lines if line["event"] == "stage_ended"] == WORKED
        assert not [line for line in lines if line["event"] == "resumed"]
    assert plates[0][-1]["up"] > plates[1][0]["up"], "the plates overlap"
    assert run(home, "log", "check").returncode == 0
