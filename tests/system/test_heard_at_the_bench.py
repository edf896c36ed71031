"""Two overlapping plates with a drifting thermometer and a real sound server; then everything is broken.

The sound server's null sink is recorded. Every cue that the journals say was due is looked for in the
recording, sample by sample, and must be heard once, in order; a cue that is missing must be one of which
the player itself told why. How near a cue is to its instant is measured by tests/measure/sound.py.
"""

from __future__ import annotations

import os
import re
import signal
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from tests.kit import cues_of_a_run, reporting_tool
from tests.kit.audit import audit
from tests.kit.cues_heard import Due, HeardSound, faults, unheard
from tests.kit.photographer import CHANGED, Photographer, journal, run, shortened
from tests.kit.sound_recording import Ear, up, wait_for

BATH, WASH = 6.0, 6.0
"""Seconds in the bath and in the wash: a bath lasts longer than what is done while its plate lies in it."""
WORKED = ["coat", "sensitise", "drain", "expose", "develop", "stop", "fix", "wash"]


def process_file(folder: Path) -> Path:
    """Write the short process with lead-ins long enough for a pip, and a longer bath."""
    path = shortened(folder)
    text = path.read_text(encoding="utf-8")
    for old, new in (("lead_in: 1 s", "lead_in: 2 s"), ("time: 4 s", f"time: {BATH:g} s")):
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
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


def drivers(reports: list[tuple[str, dict[str, Any]]]) -> list[str]:
    """Return the drivers that were reported, in order."""
    return [what["driver"] for kind, what in reports if kind == "driver"]


def measured(home: Path) -> list[dict[str, Any]]:
    """Return the lines of both journals that tell what the thermometer read, by their instants."""
    lines = [line for lines in journal(home) for line in lines]
    readings = [line for line in lines if line["event"] == "temperature" and line["from"] == "probe"]
    return sorted(readings, key=lambda line: line["up"])


def begun(home: Path, plate: int, stage: str) -> float:
    """Return the instant at which a stage of a plate began, by its journal."""
    return next(
        line["up"]
        for line in journal(home)[plate]
        if line["event"] == "stage_started" and line["stage"] == stage
    )


def ends_unheard(
    due: list[Due], heard: list[HeardSound], reports: list[tuple[str, dict[str, Any]]]
) -> list[str]:
    """Return a line for each end of a stage that was neither heard nor told by name to be left out."""
    ends = [sound for sound in heard if "end" in sound.names]
    named = [(kind, what) for kind, what in reports if kind in ("dropped", "bell")]
    return unheard(due, ends, named, may_be_cut=True)


@pytest.mark.slow
@pytest.mark.skipif(
    not Path("/proc/self/status").exists(), reason="the player is found by /proc, which is Linux's"
)
def test_two_plates_heard_and_felt_then_everything_breaks(listening: Any, ear: Ear, tmp_path: Path) -> None:
    """Each due cue is heard once; a dead player, a lost thermometer, a deaf terminal are survived."""
    home = tmp_path / "home"
    home.mkdir()
    drift = Drift(tmp_path / "bath.txt")
    (home / "settings.yaml").write_text(
        f"thermometers:\n  - source: bath\n    kind: file\n    path: {drift.path}\n    every: 1 s\n"
        "    smoothing: none\n    name: probe\n"
    )
    hand = Photographer(home, **listening.env)
    hand.terminal.env["DARKROOM_HOME"] = str(home)
    hand.program = [sys.executable, reporting_tool.__file__, str(tmp_path / "reports")]
    hand.listens = 1.0

    def reports() -> list[tuple[str, dict[str, Any]]]:
        return reporting_tool.reports(tmp_path / "reports")

    def count(kind: str) -> int:
        return sum(reported == kind for reported, _ in reports())

    def heard() -> list[HeardSound]:
        return [sound for sound in ear.heard() if not cues_of_a_run.NAMES.isdisjoint(sound.names)]

    def all_heard() -> bool:
        return unheard(cues_of_a_run.due(home), heard(), reports(), may_be_cut=True) == []

    with hand.terminal:
        hand.open("bench", str(process_file(tmp_path)), "--exposure", "1s,2s", "--subject", "Jug and pear")
        hand.terminal.wait_until(lambda: "miniaudio" in drivers(reports()))
        hand.wait(lambda screen: "the bell only" not in screen and "probe" not in screen)
        drift.start()
        hand.to_wash()
        hand.second_plate()
        drift.over.set()
        drift.join()
        hand.strike("sensitise")
        hand.terminal.wait_until(lambda: measured(home)[-1]["celsius"] == drift.written[-1])
        hand.strike("drain")
        hand.terminal.wait_until(all_heard)

        assert hand.terminal.process is not None
        player = player_of(hand.terminal.process.pid)
        heard_before = len(heard())
        os.kill(player, signal.SIGKILL)
        killed = up()
        hand.wait("the sound player died")
        drift.path.unlink()
        hand.terminal.stop_reading()
        deaf = up()
        ends = [begun(home, 0, "wash") + WASH, begun(home, 1, "sensitise") + BATH]
        assert deaf < ends[1], "the bath ends while the terminal is deaf"
        ends_due = [(at, "end") for at in ends if at > killed]
        wait_for(lambda: ends_unheard(ends_due, heard()[heard_before:], reports()) == [], 30)
        assert up() > ends[1]
        hand.terminal.go_on_reading()
        hand.wait(f"bath thermometer: last {drift.written[-1]:.1f} °C at ")
        told_lost = up()
        hand.terminal.wait_until(lambda: count("restarted") == 1)
        hand.wait(lambda screen: "the sound player died" not in screen)
        assert player_of(hand.terminal.process.pid) != player
        if hand.is_called_to("RACK", "DRY"):
            time.sleep(CHANGED)
            hand.press("space")
        hand.called_to("LIFT")
        hand.lift_to_wash()
        hand.rack(2)
        hand.terminal.wait_until(all_heard)
        hand.terminal.kill(signal.SIGTERM)
        assert hand.terminal.wait() == 128 + signal.SIGTERM
        assert audit(hand.terminal.data) == []

    cues = cues_of_a_run.due(home)
    for part in [cue for cue in cues if cue[0] < killed], [cue for cue in cues if cue[0] > killed]:
        assert {name for _, name in part} == cues_of_a_run.NAMES
    assert faults(cues, heard(), reports(), may_be_cut=True) == []
    assert 0 < heard_before < len(heard()), "the first player is heard and the second"

    plates = journal(home)
    assert len(plates) == 2
    values = [line["celsius"] for line in measured(home)]
    assert len(values) >= 4 and max(values) - min(values) >= 0.5
    assert set(values) <= set(drift.written)
    assert all(line["up"] < told_lost for line in measured(home)), "read after its file was gone"
    for lines in plates:
        assert [line["n"] for line in lines] == list(range(1, len(lines) + 1))
        assert [line["stage"] for line in lines if line["event"] == "stage_ended"] == WORKED
        assert not [line for line in lines if line["event"] == "resumed"]
    assert plates[0][-1]["up"] > plates[1][0]["up"], "the plates overlap"
    assert run(home, "log", "check").returncode == 0
